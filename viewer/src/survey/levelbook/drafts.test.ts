// A level book as the phone keeps it: what is unfinished, what of two versions stands, and
// what is forgotten once the register has it.

import assert from "node:assert/strict";
import test from "node:test";
import { onPhone, property, self } from "../../storage/phone.test.ts";
import { type Book, newBook, openBook, type Pad, padFor } from "./book.ts";
import { afterLeaving, dropBook, draftOf, keepBook, keyedOn, loadBook, openBookOf, setOpenBook, unfinishedBook } from "./drafts.ts";
import { write } from "./write.ts";

const rows = [
  { point: "Start", bs: 1.2, knownLevelM: 50 },
  { point: "2", is: 0.9 },
];
const fields = { kind: "level-run", name: "Run 1", observedOn: "2026-11-25", rows };
const empty = newBook("b", "Run 1", "2026-11-25");
const typing = (book: Book, more: Partial<Pad["texts"]>): Book => ({
  ...book,
  pad: { ...book.pad, texts: { ...book.pad.texts, ...more } },
});

test("a reading half keyed is work that was begun; what the book proposes by itself is not", () => {
  const book = newBook("b", "Run 1", "2026-11-25");
  assert.equal(keyedOn(book.pad), false);
  assert.equal(keyedOn(write(book, { do: "key", key: "1" }).pad), true);
  assert.equal(keyedOn(write(book, { do: "suggest", box: "chainage", text: "20" }).pad), false);
  assert.equal(keyedOn(write(book, { do: "note", note: "soft" }).pad), true);
  assert.equal(keyedOn(write(book, { do: "point", point: "rock" }).pad), true);
  assert.equal(keyedOn(padFor([{ point: "Start", bs: 1.2, knownLevelM: 50 }])), false);
});

test("a book is unfinished while it has a row, a key or a correction that the register does not have", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("d1"));
    await store.capture(property, [{ feature: "b", set: fields }]);
    const saved = openBook((await store.feature("b"))!);
    const left = async (book: Book) => {
      await keepBook(store, book);
      return (await unfinishedBook(store, property))?.id;
    };
    assert.equal(await left(typing(empty, { reading: "1" })), undefined, "no book of this property is open");
    await setOpenBook(store, property, "b");
    assert.equal(await openBookOf(store, property), "b");
    for (const [name, book, want] of [
      ["nothing in it", empty, undefined],
      ["half a reading", typing(empty, { reading: "1" }), "b"],
      ["all is in the register", saved, undefined],
      ["a row more", { ...saved, rows: [...rows, { point: "3", is: 1 }] }, "b"],
      ["a row taken up to be written again", write(saved, { do: "correct", at: 1, stand: null }), "b"],
    ] as const)
      assert.equal(await left(book), want, name);
    await setOpenBook(store, property, "other");
    assert.equal(await unfinishedBook(store, property), undefined, "nothing is kept of the other");
    await keepBook(store, { ...saved, past: [{ rows, pad: saved.pad }] });
    assert.deepEqual((await draftOf(store, "b"))!.past, [], "what could be taken back is not kept");
  }));

test("a book opens as it was left, else as the register has it, else new; one that is struck out keeps its rows", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("d1"));
    assert.equal(await draftOf(store, "b"), undefined);
    const fresh = await loadBook(store, "b", "Run 7", "2026-12-01");
    assert.deepEqual([fresh.name, fresh.observedOn, fresh.rows], ["Run 7", "2026-12-01", []]);
    await store.capture(property, [{ feature: "b", set: fields }]);
    assert.deepEqual((await loadBook(store, "b", "Run 7", "2026-12-01")).rows, rows);
    await keepBook(store, { ...openBook((await store.feature("b"))!), rows: [...rows, { point: "3", is: 1 }] });
    assert.equal((await loadBook(store, "b", "Run 7", "2026-12-01")).rows.length, 3);
    await store.dropDraft("level book b");
    await store.capture(property, [{ feature: "b", strike: true }]);
    assert.deepEqual((await loadBook(store, "b", "Run 7", "2026-12-01")).rows, rows);
  }));

test("a book is forgotten once the register has it whole, and no other with it", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("d1"));
    await store.capture(property, [{ feature: "b", set: fields }]);
    const saved = openBook((await store.feature("b"))!);
    const { correction } = write(saved, { do: "correct", at: 1, stand: null }).pad;
    const padOf = (more: Partial<Pad>): Book => ({ ...saved, pad: { ...saved.pad, ...more } });
    for (const [name, book, dropped] of [
      ["whole", saved, true],
      ["with no row", empty, true],
      ["a row more", { ...saved, rows: [...rows, { point: "3", is: 1 }] }, false],
      ["half a reading", typing(saved, { reading: "1" }), false],
      ["a distance", typing(saved, { distance: "1" }), false],
      ["a point", padOf({ point: "rock" }), false],
      ["a note", padOf({ note: "soft" }), false],
      ["a correction", padOf({ correction }), false],
    ] as const) {
      await setOpenBook(store, property, "b");
      await keepBook(store, book);
      await dropBook(store, property, book);
      assert.equal((await draftOf(store, "b")) === undefined, dropped, name);
      assert.equal(await openBookOf(store, property), dropped ? undefined : "b", name);
    }
    await setOpenBook(store, property, "other");
    await dropBook(store, property, saved);
    assert.equal(await openBookOf(store, property), "other");
  }));

test("nobody says which book is open before what is done at leaving one is done, in its order, though it fails", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await setOpenBook(store, property, "b");
    let go = () => {};
    const done: string[] = [];
    afterLeaving(store, () => new Promise<void>((then) => (go = then)).then(() => void done.push("first")));
    afterLeaving(store, async () => {
      done.push("second");
      throw new Error("the disk is full");
    });
    const asked = openBookOf(store, property).then((id) => void done.push(id!));
    await new Promise((then) => setImmediate(then));
    assert.deepEqual(done, []);
    go();
    await asked;
    assert.deepEqual(done, ["first", "second", "b"]);
  }));
