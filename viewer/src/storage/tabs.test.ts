// The properties of a phone, and the pages that have its store open. No browser.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { full, fullForPhotos, isFull, isLost, notSaved, storageErrorOf, troubleOf } from "./errors.ts";
import { askToKeep, freeBytes, keptNow, keptWords, storageNow, watchStorage } from "./persistence.ts";
import { onPhone, property, Register, entryOf, self, until, type Phone } from "./phone.test.ts";
import { StorageError } from "./store.ts";

const trouble = (kind: string, words: RegExp) => (e: { kind?: string; message?: string }) => e.kind === kind && words.test(e.message ?? "");
const ids = (phone: Phone) => phone.store.self()!.properties.map((p) => p.id);

test("a property is begun with no signal, once under each name and so many at most", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    const begun = await store.beginProperty("  Far   Block ");
    assert.deepEqual([begun.name, begun.begun], ["Far Block", true]);
    assert.deepEqual(ids(phone), [property, begun.id]);
    for (const [name, words] of [
      ["  ", /unnamed/],
      ["x".repeat(201), /too long/],
      ["far block", /Far Block is on this phone already/],
      ["stony BLOCK", /Stony Block is on this phone already/],
    ] as const) {
      await assert.rejects(store.beginProperty(name), trouble("invalid", words));
    }
    await store.beginProperty("é".repeat(100)); // two bytes each
    for (let n = 3; n <= 20; n++) await store.beginProperty(`Block ${n}`);
    await assert.rejects(store.beginProperty("Block 21"), trouble("invalid", /20 properties begun here wait/));
    assert.ok(store.self()!.opened![begun.id]! > 0, "it is the one that is worked on");
    await store.openProperty(property);
    assert.ok(store.self()!.opened![property]! >= store.self()!.opened![begun.id]!);
    const again = await phone.open();
    assert.deepEqual([again.self()!.properties.length, Object.keys(again.self()!.opened!).length], [21, 21]);
    const { opened } = again.self()!;
    await again.enrol(self("phone-1", { id: "low-block", name: "Low Block" }));
    assert.deepEqual([again.self()!.properties.length, again.self()!.opened], [22, opened], "a code that adds one opens none");
    await until(() => store.self()!.properties.length === 22); // on the other page too
  }));

test("what the server says of properties is kept, and what it does not name stays, barred", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1", { id: "far-block", name: "Far Block" }));
    const begun = await store.beginProperty("New Block");
    await store.outbox.told(
      [
        { id: property, name: "Stony Block", into: "far-block" },
        { id: "far-block", name: "Far Block" },
      ],
      true,
    );
    assert.deepEqual(
      store.self()!.properties.map((p) => [p.name, p.into, p.barred]),
      [
        ["Stony Block", "far-block", undefined],
        ["Far Block", undefined, undefined],
        ["New Block", undefined, undefined],
      ],
    );
    assert.equal((await store.beginProperty("Stony Block")).begun, true, "the name of one that was merged may be given again");
    await store.capture(property, [{ feature: "dam", set: { kind: "check-dam" } }]);
    await store.capture("far-block", [{ feature: "peg", set: { kind: "peg" } }]);
    assert.deepEqual(
      (await store.features("far-block")).map((f) => f.id),
      ["peg", "dam"],
    );
    assert.deepEqual(
      (await store.features(property)).map((f) => f.id),
      ["peg", "dam"],
    );
    assert.equal((await store.recordedSince(property, new Date(0))).length, 2);
    await store.outbox.told([{ id: begun.id, name: "New Block" }], false);
    assert.equal(store.self()!.properties.find((p) => p.id === begun.id)!.begun, undefined, "the office took it");
    await store.outbox.told([], true);
    assert.deepEqual(
      store.self()!.properties.map((p) => p.barred),
      [true, true, true, undefined],
    );
    const register = new Register();
    register.take(entryOf("stray", { kind: "peg" }, { property: "stray-block" }));
    await store.outbox.apply("stray-block", [register.page(0)]);
    const again = await phone.open();
    assert.deepEqual(again.self()!.properties.slice(4), [{ id: "stray-block", name: "", barred: true }], "something of it is here");
  }));

test("how it stands with each property", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1", { id: "far-block", name: "Far Block" }, { id: "empty-block", name: "" }));
    const at = (type: string, coordinates: unknown) => ({ kind: "peg", geometry: { type, coordinates } });
    const [struck] = await store.capture(property, [
      { set: at("Point", [1, 2]) },
      {
        set: at("LineString", [
          [3, 4],
          [5, 6],
        ]),
      },
      {
        set: at("Polygon", [
          [
            [7, 8],
            [9, 9],
            [9, 8],
            [7, 8],
          ],
        ]),
      },
      { set: at("MultiPoint", [[1, 1]]) },
      { set: { kind: "peg" } },
    ]);
    await store.capture(property, [{ feature: struck!.feature, strike: true }]);
    await store.capture("far-block", [{ photo: { bytes: new ArrayBuffer(1), takenFor: "visit" }, set: { kind: "visit" } }]);
    await store.keepDraft(`line far-block x`, 1);
    const states = new Map((await store.properties()).map((s) => [s.property.id, s]));
    const [stony, far, empty] = [property, "far-block", "empty-block"].map((id) => states.get(id)!);
    assert.deepEqual([stony!.unsent, far!.unsent, empty!.unsent], [6, 1, 0]);
    assert.deepEqual([stony!.photosUnsent, far!.photosUnsent], [0, 1]);
    assert.deepEqual([stony!.near.map((p) => p.join()).sort(), far!.near], [["3,4", "7,8"], []]);
    assert.deepEqual([stony!.begunWork, far!.begunWork, empty!.begunWork], [false, true, false]);
    assert.ok(Math.abs(stony!.recorded!.getTime() - Date.now()) < 60_000);
    assert.equal(empty!.recorded, null);
    await store.keepDraft("photos", [{ property: "empty-block" }, {}]);
    assert.deepEqual(
      (await store.properties()).map((s) => s.begunWork),
      [false, true, true],
    );
  }));

/** The browser's locks: each is one page's at a time. */
function locks() {
  const held = new Map<string, Promise<unknown>>();
  return {
    request: async (name: string, { signal }: { signal: AbortSignal }, job: () => Promise<void>) => {
      const before = held.get(name) ?? Promise.resolve();
      const gone = new Promise((_, no) => signal.addEventListener("abort", () => no(new DOMException("aborted", "AbortError"))));
      const mine = Promise.race([before, gone]).then(job);
      held.set(
        name,
        mine.catch(() => before),
      );
      return mine;
    },
  };
}

test("one page records, the next takes over when it is left, and takes it back with the way back", () =>
  onPhone((phone) =>
    withGlobals({ navigator: { ...navigator, locks: locks() } }, async () => {
      const one = await phone.open(),
        window = phone.window;
      await one.enrol(self("phone-1"));
      const other = await phone.open();
      assert.deepEqual([one.trouble(), other.trouble()?.kind], [null, "other-tab"]);
      await assert.rejects(other.capture(property, [{ set: { kind: "peg" } }]), trouble("other-tab", /open twice/));
      await assert.rejects(other.enrol(self("phone-2")), trouble("other-tab", /open twice/));
      await assert.rejects(other.bringBack(), trouble("other-tab", /open twice/));
      assert.equal((await other.features(property)).length, 0, "it may read");
      assert.equal((await other.copied())?.entries, 0);
      const database = await one.db.open();
      one.close();
      await until(() => other.trouble() === null);
      assert.throws(() => database.transaction("notes"), { name: "InvalidStateError" }, "it does not hold on to the database");
      await other.capture(property, [{ set: { kind: "peg" } }]);
      window.dispatchEvent(Object.assign(new Event("pageshow"), { persisted: false }));
      phone.window.dispatchEvent(new Event("pagehide"));
      const third = await phone.open();
      await until(() => third.trouble() === null); // both are left
      assert.equal(one.trouble()?.kind, "other-tab");
      window.dispatchEvent(Object.assign(new Event("pageshow"), { persisted: true }));
      third.close();
      await until(() => one.trouble() === null); // it was kept whole, for the way back
    }),
  ));

test("what the browser says of the room and of keeping it", () =>
  onPhone(async (phone) => {
    phone.quotaBytes = 500;
    assert.deepEqual(await storageNow(), { kept: true, usedBytes: 0, freeBytes: 500 });
    const told: boolean[] = [];
    let asked = 0;
    const storage = {
      estimate: async () => ({ usage: 700, quota: 600 }),
      persisted: async () => phone.kept,
      persist: async () => ++asked,
    };
    await withGlobals({ navigator: { storage } }, async () => {
      assert.deepEqual([await storageNow(), await freeBytes()], [{ kept: true, usedBytes: 700, freeBytes: 0 }, -100]);
      await askToKeep();
      assert.equal(asked, 0, "it has promised");
      phone.kept = false;
      watchStorage(({ kept }) => void told.push(kept!));
      await Promise.all([askToKeep(), askToKeep()]);
      assert.equal(asked, 1, "once at a time");
      await until(() => told.length === 2);
    });
    await withGlobals(
      { navigator: { storage: { persisted: () => Promise.reject(new Error("no")), estimate: async () => ({}) } } },
      async () => {
        assert.deepEqual([await keptNow(), await storageNow()], [undefined, { kept: undefined, usedBytes: 0, freeBytes: undefined }]);
      },
    );
    await withGlobals({ navigator: {} }, async () => {
      assert.deepEqual(await storageNow(), { kept: undefined, usedBytes: 0, freeBytes: undefined });
      await askToKeep();
    });
  }));

test("trouble in the officer's words", () => {
  assert.match(keptWords(true), /has promised/);
  assert.match(keptWords(false), /has not promised/);
  assert.match(keptWords(undefined), /does not say/);
  const dom = (name: string) => new DOMException("why", name);
  assert.deepEqual(
    [isFull(dom("QuotaExceededError")), isFull({ name: "QuotaExceededError" }), isLost(dom("AbortError"))],
    [true, false, true],
  );
  assert.equal(storageErrorOf(dom("QuotaExceededError")).message, full().message);
  assert.match(storageErrorOf(dom("VersionError")).message, /newer version/);
  assert.match(storageErrorOf(dom("DataError")).message, /closed the store: why$/);
  assert.match(storageErrorOf(new Error("")).message, /closed the store: Error$/);
  assert.match(storageErrorOf("words").message, /closed the store: words$/);
  assert.equal(storageErrorOf(fullForPhotos()).kind, "full");
  const refused = storageErrorOf({ reason: "no level", fix: "book one" });
  assert.deepEqual([refused.kind, refused.message, refused.todo], ["closed", "no level", "book one"]);
  assert.deepEqual(troubleOf(new StorageError("full", "a", "b")), { what: "a", todo: "b" });
  assert.deepEqual(troubleOf({ reason: "no level" }), { what: "no level", todo: "" });
  assert.deepEqual(troubleOf(new Error("x")).what, "It could not be saved.");
  assert.equal(notSaved("The name is too long."), "Not saved: the name is too long.");
});
