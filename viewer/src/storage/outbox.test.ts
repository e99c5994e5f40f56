// What becomes of the copy, the room and the watchers when the server has something.

import assert from "node:assert/strict";
import test from "node:test";
import { onPhone, property, Register, self, until, type Phone } from "./phone.test.ts";

const visit = (byte: number) => ({ set: { kind: "visit" }, photo: { bytes: new Uint8Array([byte]).buffer, takenFor: "" } });

async function enrolled(phone: Phone) {
  const store = await phone.open();
  await store.enrol(self("phone-1"));
  return store;
}

test("what the server refused stays in the copy, as what it lacks comes into it again", () =>
  onPhone(async (phone) => {
    const store = await enrolled(phone);
    const [a, b] = await store.capture(property, [visit(1), visit(2)]);
    const inCopy = (entries: number, photos: number) =>
      until(async () => {
        const has = (await store.copied())!;
        return has.entries === entries && has.photos === photos;
      });
    await inCopy(2, 2);
    await store.outbox.settle(property, [
      { id: a!.entry, n: 1, highSeq: 1 },
      { id: b!.entry, refused: "too far", highSeq: 2 },
    ]);
    await inCopy(1, 2);
    const [photo] = await store.outbox.photosWaiting();
    await store.outbox.photoSent(photo!.sha);
    await inCopy(1, 1);
    await store.outbox.photosWanted([photo!.sha]);
    await inCopy(1, 2);
    await store.outbox.offerAgain(property, [a!.entry], [a!.entry]);
    await inCopy(2, 2);
    await store.outbox.photoSent(photo!.sha);
    await inCopy(2, 1);
    const register = new Register();
    register.take((await store.outbox.all()).entries[0]!.text);
    await store.outbox.apply(property, [register.page(0)]);
    await store.outbox.fork(property, [register.at()]);
    await inCopy(1, 2);
  }));

test("an entry that was refused and came to the server after all is refused no more", () =>
  onPhone(async (phone) => {
    const store = await enrolled(phone);
    const [a] = await store.capture(property, [{ set: { kind: "peg" } }]);
    const { text } = (await store.outbox.all()).entries[0]!;
    await store.outbox.settle(property, [{ id: a!.entry, refused: "too far", highSeq: 1 }]);
    assert.equal((await store.counts()).refused, 1);
    const register = new Register();
    register.take(text); // out of a file
    await store.outbox.apply(property, [register.page(0)]);
    const { entries, unsent, refused } = await store.counts();
    assert.deepEqual([entries, unsent, refused, await store.refusals()], [1, 0, 0, []]);
  }));

test("whatever the server says of photos is told to those who watch", () =>
  onPhone(async (phone) => {
    const store = await enrolled(phone);
    await store.capture(property, [visit(1)]);
    const [photo] = await store.outbox.photosWaiting();
    const register = new Register();
    register.take((await store.outbox.all()).entries[0]!.text);
    await store.outbox.apply(property, [register.page(0)]);
    for (const act of [
      () => store.outbox.photoSent(photo!.sha),
      () => store.outbox.photosWanted([photo!.sha]),
      () => store.outbox.fork(property, [register.at()]),
    ]) {
      await until(() => !store.untold());
      let told = false;
      const stop = store.watch(() => (told = true));
      await act();
      await until(() => told);
      stop();
    }
  }));

test("room is held back again once a photo is sent", () =>
  onPhone(async (phone) => {
    const store = await enrolled(phone);
    const held = () => store.db.read((db) => db.count("ballast"));
    await store.capture(property, [visit(1)]);
    await until(async () => (await held()) === 1);
    await store.db.write(["ballast"], (tx) => tx.objectStore("ballast").clear());
    const [photo] = await store.outbox.photosWaiting();
    await store.outbox.photoSent(photo!.sha);
    assert.equal(await held(), 1);
  }));

test("the oldest that waits is told by what was recorded of it, a photo by the entry that names it", () =>
  onPhone(async (phone) => {
    let nowMS = 1_000_000;
    const store = await phone.open({ now: () => new Date(nowMS) });
    await store.enrol(self("phone-1", { id: "far-block", name: "Far Block" }));
    const at = async (ms: number, of: string, draft: Parameters<typeof store.capture>[1][0]) => {
      nowMS = ms;
      const { entry } = (await store.capture(of, [draft]))[0]!;
      return () => store.outbox.settle(of, [{ id: entry, n: 1, highSeq: 1 }]);
    };
    const oldest = async () => (await store.counts()).oldestUnsent?.getTime();
    const begun = await at(1_000_000, "far-block", { feature: "dam", set: { kind: "check-dam" } });
    const photographed = await at(2_000_000, "far-block", { ...visit(1), feature: "dam" });
    const other = await at(3_000_000, property, { set: { kind: "peg" } });
    assert.equal(await oldest(), 1_000_000);
    await begun();
    assert.equal(await oldest(), 2_000_000);
    await photographed();
    assert.equal(await oldest(), 2_000_000, "its photo waits");
    await store.outbox.photoSent((await store.outbox.photosWaiting())[0]!.sha);
    assert.equal(await oldest(), 3_000_000);
    await other();
    assert.equal(await oldest(), undefined);
    const since = (await store.recordedSince("far-block", new Date(0))).map((r) => r.savedMS);
    assert.deepEqual(since, [1_000_000, 2_000_000]);
    await store.outbox.told([{ id: property, name: "Stony Block", into: "far-block" }], false);
    nowMS = 4_000_000;
    await store.capture("far-block", [{ set: { kind: "peg" } }]);
    assert.deepEqual(
      (await store.recordedSince("far-block", new Date(2_000_000))).map((r) => r.savedMS),
      [2_000_000, 3_000_000, 4_000_000],
      "of all its parts, the oldest first",
    );
  }));
