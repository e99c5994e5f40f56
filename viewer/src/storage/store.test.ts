// The store on one phone: what is recorded, sent, told by the server and asked again. No browser.

import assert from "node:assert/strict";
import test from "node:test";
import type { Property } from "./store.ts";
import { entryOf, onPhone, property, read, Register, self, until, type Phone } from "./phone.test.ts";

const all = Infinity;
const texts = async (phone: Phone, of = property) => (await phone.store.outbox.waiting(of, all, all)).map((w) => w.text);
const numbers = async (phone: Phone) => {
  const { entries, unsent, refused, photosUnsent, photoBytesUnsent } = await phone.store.counts();
  return [entries, unsent, refused, photosUnsent, photoBytesUnsent];
};

async function enrolled(phone: Phone, ...more: readonly Property[]): Promise<void> {
  await phone.open();
  await phone.store.enrol(self("phone-1", ...more));
}

/** Sends what waits to a register, and takes the receipts. */
async function send(phone: Phone, register: Register): Promise<void> {
  await phone.store.outbox.settle(property, register.take(...(await texts(phone))));
}

/** Fetches what the register has more. */
async function fetch(phone: Phone, register: Register): Promise<void> {
  const at = await phone.store.outbox.position(property);
  await phone.store.outbox.apply(property, [register.page(at?.n ?? 0)]);
}

const trouble = (kind: string, words?: RegExp) => (e: { kind?: string; message?: string; todo?: string }) =>
  e.kind === kind && !!e.todo && (words ?? /./).test(e.message ?? "");

test("nothing is recorded before the phone is somebody, nor by one that the server cannot know", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    assert.deepEqual([store.self(), store.trouble(), await store.asked()], [null, null, null]);
    await assert.rejects(store.capture(property, [{ set: { kind: "peg" } }]), trouble("not-enrolled"));
    await assert.rejects(store.beginProperty("Far Block"), trouble("not-enrolled"));
    await assert.rejects(store.enrol({ ...self("phone-1"), device: "No id" }), trouble("invalid"));
    await assert.rejects(store.enrol(self("phone-1", { id: "No id", name: "" })), trouble("invalid"));
    await assert.rejects(store.enrol({ ...self("phone-1"), author: "" }), trouble("invalid"));
    await store.enrol(self("phone-1"));
    assert.deepEqual(store.self()?.properties, self("phone-1").properties);
    assert.equal(store.cloned(), false);
  }));

test("a code is asked with again as it was asked with before", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    const first = await store.asking("AAAAA-BBBBB", false);
    assert.match(first.token, /^[0-9a-f]{64}$/);
    assert.deepEqual(await store.asking("AAAAA-BBBBB", false), first);
    assert.deepEqual(await store.asked(), first);
    const other = await store.asking("CCCCC-DDDDD", false);
    assert.notEqual(other.device, first.device);
    await store.enrol(self(other.device));
    assert.equal(await store.asked(), null, "it is granted");
    const { device, token } = self(other.device);
    assert.deepEqual(await store.asking("EEEEE-FFFFF", false), { code: "EEEEE-FFFFF", device, token }, "a code adds to who the phone is");
    const again = await store.asking("GGGGG-HHHHH", true);
    assert.notEqual(again.device, device);
    assert.deepEqual(again.former, { device, token });
    assert.deepEqual(await store.asking("GGGGG-HHHHH", true), again);
  }));

test("what is recorded stands at once, and waits as the server reads it", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { store } = phone;
    const before = Date.now();
    const [made] = await store.capture(property, [{ set: { kind: "check-dam", name: "Dam 1", heightM: undefined, material: "rock" } }]);
    const again = await store.capture(property, [
      { feature: made!.feature, set: { name: null } },
      { feature: made!.feature, strike: true },
      { feature: made!.feature, strike: false },
    ]);
    const [one, two, three, four] = (await texts(phone)).map(read);
    assert.deepEqual([one!.id, two!.id], [made!.entry, again[0]!.entry]);
    assert.deepEqual([one!.deviceSeq, two!.deviceSeq, three!.deviceSeq, four!.deviceSeq], [1, 2, 3, 4]);
    assert.deepEqual(one!.set, { kind: "check-dam", name: "Dam 1", material: "rock" }, "undefined is no value");
    assert.deepEqual([one!.v, one!.property, one!.device, one!.author, one!.saw], [1, property, "phone-1", "R. Field", undefined]);
    assert.ok(one!.stamp < two!.stamp && two!.stamp < three!.stamp && three!.stamp < four!.stamp);
    assert.ok(Math.abs(new Date(one!.seenAt).getTime() - before) < 60_000 && Math.abs(one!.steadyMS! - before) < 60_000);
    assert.deepEqual([three!.strike, four!.strike, three!.set], [true, false, undefined]);
    const feature = (await store.feature(made!.feature))!;
    assert.deepEqual(feature.fields, { kind: "check-dam", material: "rock" });
    assert.deepEqual([feature.struck, feature.unsent, feature.saw, feature.stamp], [false, 4, { "phone-1": 4 }, four!.stamp]);
    assert.deepEqual(await store.features(property), [feature]);
    assert.deepEqual(await numbers(phone), [4, 4, 0, 0, 0]);
    assert.ok(Math.abs((await store.counts()).oldestUnsent!.getTime() - before) < 60_000);
    const seenAt = new Date("2026-01-02T03:04:05Z");
    await store.capture(property, [{ set: { kind: "peg" }, seenAt }]);
    assert.equal(new Date(read((await texts(phone))[4]!).seenAt).getTime(), seenAt.getTime());
  }));

test("what cannot be an entry is refused, and nothing of it is kept", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { store } = phone;
    const bytes = (n: number) => ({ bytes: new ArrayBuffer(n), takenFor: "dam" });
    for (const [drafts, words] of [
      [[], /nothing to record/],
      [[{}], /nothing to record/],
      [[{ set: { name: undefined } }], /nothing to record/],
      [[{ set: { kind: "peg" } }, { set: { kind: "peg" }, strike: true }], /sets fields or strikes/],
      [[{ strike: true, photo: bytes(5) }], /sets fields or strikes/],
      [[{ photo: { bytes: new Blob(["x"]) as unknown as ArrayBuffer, takenFor: "dam" } }], /not in memory/],
      [[{ photo: bytes(0) }], /8 MB and this one has 0\.0/],
      [[{ photo: bytes((8 << 20) + 1) }], /8 MB and this one has 8\.0/],
      [[{ feature: "No id", set: { kind: "peg" } }], /not the id of an item/],
    ] as const) {
      await assert.rejects(store.capture(property, drafts), trouble("invalid", words), String(words));
    }
    await assert.rejects(store.capture("No id", [{ set: { kind: "peg" } }]), trouble("invalid"));
    assert.deepEqual(await numbers(phone), [0, 0, 0, 0, 0]);
    await store.capture(property, [{ photo: bytes(8 << 20) }]);
    assert.deepEqual(await numbers(phone), [1, 1, 0, 1, 8 << 20]);
  }));

test("what is known of an item stays under the property that it was begun on", () =>
  onPhone(async (phone) => {
    await enrolled(phone, { id: "far-block", name: "Far Block" });
    const { store } = phone;
    const [peg] = await store.capture("far-block", [{ set: { kind: "peg" } }]);
    await store.capture(property, [{ feature: peg!.feature, set: { name: "A" } }, { set: { kind: "peg" } }]);
    assert.deepEqual(
      (await texts(phone, "far-block")).map((t) => read(t).deviceSeq),
      [1, 2],
    );
    assert.deepEqual(
      (await texts(phone)).map((t) => [read(t).deviceSeq, read(t).property]),
      [[1, property]],
    );
    assert.equal((await store.features("far-block")).length, 1);
    assert.equal((await store.features(property)).length, 1);
  }));

test("a photo waits with its entry, and is one however many things it shows", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { store } = phone;
    const photo = (takenFor: string) => ({ photo: { bytes: new Uint8Array([1, 2, 3, 4]).buffer, takenFor } });
    await store.capture(property, [{ ...photo("dam-1"), set: { kind: "visit" } }]);
    await store.capture(property, [photo("dam-2")]);
    await store.capture(property, [{ ...photo("dam-2"), set: { name: "again" } }]);
    const [held, ...others] = await store.outbox.photosWaiting();
    assert.equal(others.length, 0);
    assert.deepEqual([held!.size, held!.sent, held!.feature, (await held!.bytes()).byteLength], [4, false, "dam-1", 4]);
    assert.deepEqual((await store.feature("dam-2"))!.fields, { photos: [held!.sha], name: "again" });
    assert.deepEqual(
      (await store.photos("dam-2")).map((p) => [p.sha, p.feature]),
      [[held!.sha, "dam-2"]],
    );
    assert.deepEqual(await numbers(phone), [3, 3, 0, 1, 4]);
    const register = new Register();
    await send(phone, register);
    const savedMS = (await store.counts()).oldestUnsent!.getTime();
    assert.ok(savedMS > 0, "the photo still waits");
    register.take(entryOf("dam-1", { photos: [held!.sha] }));
    await fetch(phone, register);
    assert.equal((await store.counts()).oldestUnsent!.getTime(), savedMS, "since it was taken here, not since another named it");
    await store.outbox.photoSent(held!.sha);
    await store.outbox.photoSent("unknown");
    assert.deepEqual(await numbers(phone), [4, 0, 0, 0, 0]);
    assert.deepEqual([(await store.photos("dam-1"))[0]!.sent, (await store.counts()).oldestUnsent], [true, null]);
    await store.outbox.photosWanted([held!.sha, held!.sha, "unknown"]);
    assert.deepEqual(await numbers(phone), [4, 0, 0, 1, 4]);
    assert.deepEqual((await store.photos("nothing")).length, 0);
  }));

test("what waits is given in its order, as much as may go", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { outbox } = phone.store;
    for (const name of ["a", "b", "c"]) await phone.store.capture(property, [{ set: { kind: "peg", name } }]);
    const ids = async (...args: readonly [number, number, ReadonlySet<string>?]) =>
      (await outbox.waiting(property, ...args)).map((w) => read(w.text).set!["name"]);
    const [first, second] = await outbox.waiting(property, all, all);
    const [one, two] = [first!.text.length + 1, second!.text.length + 1];
    assert.deepEqual(await ids(2, all), ["a", "b"]);
    assert.deepEqual(await ids(all, one + two), ["a", "b"]);
    assert.deepEqual(await ids(all, one + two - 1), ["a"]);
    assert.deepEqual(await ids(all, 1), ["a"], "one at least");
    assert.deepEqual(await ids(all, 1, new Set([first!.id])), [], "one is on its way already");
    assert.deepEqual(await ids(all, all, new Set([first!.id])), ["b", "c"]);
    assert.deepEqual(await outbox.waiting("far-block", all, all), []);
  }));

test("only a receipt takes an entry out, and a refused one is told", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { store } = phone;
    const [a, b, c] = await store.capture(
      property,
      ["a", "b", "c"].map((name) => ({ set: { kind: "peg", name } })),
    );
    await store.outbox.settle(property, [
      { id: a!.entry, n: 1, highSeq: 1 },
      { id: b!.entry, refused: "too far", highSeq: 1 },
      { id: "unknown", refused: "no entry", highSeq: 1 },
    ]);
    assert.deepEqual(
      (await texts(phone)).map((t) => read(t).id),
      [c!.entry],
    );
    assert.deepEqual(await numbers(phone), [3, 1, 1, 0, 0]);
    assert.deepEqual(await store.refusals(), [{ entry: b!.entry, feature: b!.feature, why: "too far" }]);
    assert.deepEqual(
      (await Promise.all([a, b, c].map((s) => store.feature(s!.feature)))).map((f) => f!.unsent),
      [0, 0, 1],
    );
    assert.deepEqual(
      (await store.outbox.all()).entries.map((e) => read(e.text).id),
      [b!.entry, c!.entry],
      "refused ones are for the file",
    );
    assert.deepEqual(await store.outbox.acknowledged(property), [a!.entry, c!.entry]);
    assert.deepEqual(await store.outbox.unreturned(property), [a!.entry]);
    const since = await store.recordedSince(property, new Date(0));
    assert.deepEqual(
      since.map((r) => [r.entry.id, r.waits, r.refused]),
      [
        [a!.entry, false, false],
        [b!.entry, false, true],
        [c!.entry, true, false],
      ],
    );
    assert.deepEqual(await store.recordedSince(property, new Date(since[0]!.savedMS + 1)), []);
    assert.equal((await store.recordedSince(property, new Date(since[0]!.savedMS))).length, 3);
    assert.deepEqual(await store.history(b!.feature), [], "what was refused is no history");
    await store.outbox.settle(property, [{ id: c!.entry, cloned: true, highSeq: 3 }]);
    assert.deepEqual([store.cloned(), (await texts(phone)).length], [true, 1]);
    await store.enrol(self("phone-2"));
    assert.equal(store.cloned(), false);
  }));

test("the register's entries come in as they are numbered, or not at all", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { outbox } = phone.store;
    const register = new Register();
    await phone.store.capture(property, [{ feature: "dam", set: { kind: "check-dam", name: "mine" } }]);
    await send(phone, register);
    register.take(entryOf("dam", { name: "theirs" }), entryOf("peg", { kind: "peg" }));
    const whole = register.page(0);
    for (const [page, words] of [
      [{ ...whole, first: 2 }, /begins at entry 2, and the entry after 0/],
      [{ ...whole, at: { ...whole.at, n: 2 } }, /damaged/],
      [{ ...whole, at: { ...whole.at, hash: "0".repeat(64) } }, /damaged/],
      [{ ...whole, entries: [...whole.entries.slice(0, 2), entryOf("peg", {})] }, /damaged/],
    ] as const) {
      await assert.rejects(outbox.apply(property, [page]), words);
    }
    for (const lacks of ["id", "feature", "device", "deviceSeq"] as const) {
      const other = new Register();
      other.texts.push(entryOf("dam", {}, { [lacks]: undefined }));
      other.chain.push(Buffer.alloc(32));
      await assert.rejects(outbox.apply(property, [other.page(0)]), /entry 1 of the server cannot be read/, lacks);
    }
    assert.equal(await outbox.position(property), undefined);
    await outbox.apply(property, [register.page(0, 1), register.page(1)]);
    assert.deepEqual(await outbox.position(property), register.at());
    assert.equal((await phone.store.feature("dam"))!.fields["name"], "theirs");
    assert.deepEqual((await phone.store.features(property)).map((f) => [f.id, f.unsent]).sort(), [
      ["dam", 0],
      ["peg", 0],
    ]);
    assert.deepEqual(await numbers(phone), [3, 0, 0, 0, 0]);
    assert.deepEqual(await outbox.unreturned(property), []);
    await assert.rejects(outbox.apply(property, [register.page(0)]), /begins at entry 1, and the entry after 3/);
    await outbox.apply(property, [{ ...register.page(3), at: { ...register.at(), epoch: "e2" } }]);
    assert.equal((await outbox.position(property))!.epoch, "e2", "an empty page may name another epoch");
  }));

test("a phone alone folds nothing, and what others wrote is folded again where it was touched meanwhile", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const register = new Register();
    await phone.store.capture(property, [{ feature: "dam", set: { kind: "check-dam", name: "mine" } }]);
    await fetch(phone, register);
    await send(phone, register);
    const gathered = phone.gathered;
    await fetch(phone, register);
    assert.equal(phone.gathered, gathered, "it came back as it went");
    register.take(entryOf("dam", { name: "theirs" }));
    phone.meanwhile = () => phone.store.capture(property, [{ feature: "dam", set: { heightM: 0.5 } }]);
    await fetch(phone, register);
    assert.equal(phone.gathered, gathered + 2, "a capture came in between");
    const dam = (await phone.store.feature("dam"))!;
    assert.deepEqual([dam.fields, dam.unsent], [{ kind: "check-dam", name: "theirs", heightM: 0.5 }, 1]);
    assert.deepEqual(read((await texts(phone))[0]!).saw, undefined, "it was saved before theirs came");
    await phone.store.capture(property, [{ feature: "dam", set: { heightM: 0.6 } }]);
    assert.deepEqual(Object.keys(read((await texts(phone))[1]!).saw ?? {}), ["office"]);
    const ahead = new Register("e1", () => Date.now() - 600_000); // it arrived ten minutes before its stamp
    ahead.texts.push(...register.texts);
    ahead.chain.push(...register.chain.slice(1));
    ahead.take(...(await texts(phone)));
    await phone.store.outbox.apply(property, [ahead.page(2)]);
    assert.equal(phone.gathered, gathered + 3, "a stamp too far ahead does not count as it is");
  }));

test("pages that were applied already change nothing, and a position that moved is told", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { outbox } = phone.store;
    const register = new Register();
    register.take(entryOf("peg", { kind: "peg" }), entryOf("peg", { name: "A" }));
    const page = register.page(0);
    phone.meanwhile = () => outbox.apply(property, [page]);
    await outbox.apply(property, [page]);
    assert.deepEqual([await outbox.position(property), (await phone.store.counts()).entries], [register.at(), 2]);
    register.take(entryOf("peg", { name: "B" }), entryOf("peg", { name: "C" }));
    phone.meanwhile = () => outbox.apply(property, [register.page(2, 3)]);
    await assert.rejects(outbox.apply(property, [register.page(2)]), /place in the register has moved/);
  }));

test("after the server was restored the phone goes back to where both are the same, and offers the rest again", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { store } = phone;
    const register = new Register();
    await assert.rejects(store.outbox.fork(property, [register.at()]), /not its own/);
    const bytes = new Uint8Array([7]).buffer;
    const [a] = await store.capture(property, [{ photo: { bytes, takenFor: "dam" }, set: { kind: "visit" } }]);
    await send(phone, register);
    await fetch(phone, register);
    const [b] = await store.capture(property, [{ set: { kind: "peg" } }]);
    const [c] = await store.capture(property, [{ set: { kind: "peg" } }]);
    await send(phone, register);
    await fetch(phone, register);
    const [photo] = await store.outbox.photosWaiting();
    await store.outbox.photoSent(photo!.sha);
    assert.equal(await store.outbox.resendDue(property), false);
    const marks = [{ ...register.at(3), hash: "0".repeat(64) }, { ...register.at(3), n: 9 }, register.at(1)];
    await store.outbox.fork(property, marks);
    assert.deepEqual(await store.outbox.position(property), register.at(1));
    assert.equal(await store.outbox.resendDue(property), true);
    assert.equal((await store.outbox.photosWaiting()).length, 1, "it may have lost the photo");
    await store.outbox.photoSent(photo!.sha);
    await store.outbox.offerAgain(property, [b!.entry], [a!.entry, b!.entry, c!.entry]);
    await store.outbox.resendDone(property);
    assert.equal(await store.outbox.resendDue(property), false);
    assert.deepEqual(
      (await texts(phone)).map((t) => read(t).id),
      [b!.entry],
    );
    assert.deepEqual([(await store.feature(b!.feature))!.unsent, (await store.outbox.photosWaiting()).length], [1, 0]);
    assert.deepEqual(await store.outbox.unreturned(property), [], "it is asked about again by its number");
    await store.outbox.offerAgain(property, [], [b!.entry]);
    assert.deepEqual([await texts(phone), (await store.feature(b!.feature))!.unsent], [[], 0], "the server has it after all");
    await store.outbox.offerAgain(property, [a!.entry, "unknown"]);
    assert.deepEqual([(await texts(phone)).map((t) => read(t).id), (await store.outbox.photosWaiting()).length], [[a!.entry], 1]);
    await store.outbox.fork(property, [{ ...register.at(0), n: 0 }]);
    assert.equal(await store.outbox.position(property), undefined, "nothing of it is the same");
  }));

test("where the server is as far as the phone, the phone stays", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const register = new Register();
    for (const kind of ["peg", "hazard"]) await phone.store.capture(property, [{ set: { kind } }]);
    await send(phone, register);
    await fetch(phone, register);
    await phone.store.outbox.fork(property, [register.at(), register.at(1)]);
    assert.deepEqual(await phone.store.outbox.position(property), register.at());
  }));

test("under a new number what is unsent goes over to it, and what was sent counts as seen", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { store } = phone;
    const register = new Register();
    await store.capture(property, [{ feature: "dam", set: { kind: "check-dam" } }]);
    await send(phone, register);
    await store.capture(property, [{ feature: "dam", set: { name: "A" } }]);
    await store.capture(property, [{ set: { kind: "peg" } }, { feature: "dam", set: { name: "B" } }]);
    await store.enrol(self("phone-2"));
    const waiting = (await texts(phone)).map(read);
    assert.deepEqual(
      waiting.map((e) => [e.device, e.deviceSeq, e.saw]),
      [
        ["phone-2", 1, { "phone-1": 1 }],
        ["phone-2", 2, undefined],
        ["phone-2", 3, { "phone-1": 1 }],
      ],
    );
    assert.deepEqual(
      waiting.map((e) => e.steadyMS !== undefined),
      [true, true, true],
      "members that the program does not know stay",
    );
    assert.equal(await store.outbox.resendDue(property), true, "a receipt may have been lost");
    assert.equal(await store.outbox.resendDue("far-block"), false);
    await until(() => phone.gathered === 2);
    await until(async () => (await store.feature("dam"))!.saw["phone-2"] === 3);
    assert.deepEqual((await store.feature("dam"))!.saw, { "phone-1": 1, "phone-2": 3 });
    assert.deepEqual((await store.feature("dam"))!.fields["name"], "B");
    const [next] = await store.capture(property, [{ feature: "dam", set: { name: "C" } }]);
    const last = (await texts(phone)).map(read).find((e) => e.id === next!.entry)!;
    assert.deepEqual([last.deviceSeq, last.saw], [4, { "phone-1": 1 }]);
    await assert.doesNotReject(store.enrol(self("phone-2", { id: "far-block", name: "Far Block" })), "the same number again");
    assert.deepEqual(
      (await texts(phone)).map((t) => read(t).deviceSeq),
      [1, 2, 3, 4],
    );
  }));

test("both sides of a clash are given with what else their entries set, and what stood before", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const store = await phone.open({
      gather: async ([asked]) => {
        const entries = asked!.entries.map(({ text }) => read(text)).sort((a, b) => (a.stamp < b.stamp ? -1 : 1));
        const values = entries
          .filter((e) => e.set!["name"] !== undefined)
          .map((e) => ({ value: e.set!["name"], entry: e.id, device: e.device, author: e.author, seenAt: e.seenAt }));
        return [{ feature: "dam", fields: {}, saw: {}, stamp: entries[0]!.stamp, clashes: [{ field: "name", values }] }];
      },
    });
    await store.capture(property, [{ feature: "dam", set: { kind: "check-dam", heightM: 0.4 } }]);
    await store.capture(property, [{ feature: "dam", set: { heightM: 0.5 } }]);
    await store.capture(property, [{ feature: "dam", set: { name: "A", material: "rock" } }]);
    await store.capture(property, [{ feature: "dam", set: { name: "B" } }]);
    await store.capture(property, [{ feature: "dam", set: { heightM: 0.6 } }]); // after both
    const [clash] = await store.clashes("dam");
    assert.equal(clash!.field, "name");
    assert.deepEqual(
      clash!.sides.map((side) => [side.value, side.set, side.before]),
      [
        ["A", { name: "A", material: "rock" }, { kind: "check-dam", heightM: 0.5 }],
        ["B", { name: "B" }, { kind: "check-dam", heightM: 0.5 }],
      ],
    );
    assert.deepEqual(
      (await store.history("dam")).map((r) => r.entry.set!["name"]),
      [undefined, undefined, "A", "B", undefined],
    );
  }));

test("watchers are told of what was written, also by another page", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { store } = phone;
    await until(() => !store.untold());
    let told = 0;
    const stop = store.watch(() => void told++);
    await store.features(property);
    const captures = [1, 2, 3].map(() => store.capture(property, [{ set: { kind: "peg" } }]));
    await Promise.all(captures);
    assert.ok(told > 0 || store.untold());
    await until(() => told > 0 && !store.untold());
    const other = await phone.open();
    await until(() => !other.untold());
    await other.capture(property, [{ set: { kind: "peg" } }]);
    await until(() => told > 1);
    await until(async () => (await store.features(property)).length === 4);
    stop();
    const before = told;
    await store.capture(property, [{ set: { kind: "peg" } }]);
    await until(() => !store.untold());
    assert.equal(told, before);
  }));

test("looking at the store while something is recorded finds nothing wrong with it", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    for (let n = 0; n < 10; n++) {
      const told = phone.store.outbox.told([{ id: property, name: `Stony Block ${n}` }], true);
      for (let k = 0; k < 5; k++) await phone.store.capture(property, [{ set: { kind: "peg" } }]);
      await told;
      assert.equal(phone.store.trouble(), null);
    }
  }));
