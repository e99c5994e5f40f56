// How the copy is brought in step with the database.

import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import type { Backup } from "./backup.ts";
import { BackupCache, type Keeping } from "./backupcache.ts";
import { onPhone, property, Register, self } from "./phone.test.ts";
import { backUpWhatLacks, unsentRecords } from "./unsent.ts";

interface Has {
  readonly changes?: boolean;
  readonly bytes?: boolean;
  readonly gone?: boolean;
}

/** Brings a copy that has these keys in step with what there is: what was given to it at a time, and what was taken away. */
async function given(copied: readonly string[], all: { readonly [key: string]: Has }) {
  const batches: string[] = [],
    dropped: string[] = [];
  const backup = {
    keys: async () => copied,
    drop: async (keys: readonly string[]) => void dropped.push(...keys),
    keep: async (records: readonly Keeping[]) => void batches.push(records.map(({ key }) => key).join(" ")),
  };
  const records = Object.entries(all).map(([key, { changes = false, bytes, gone }]) => ({
    key,
    changes,
    record: async () => (gone ? undefined : { key, value: 1, ...(bytes && { bytes: new ArrayBuffer(1) }) }),
  }));
  await backUpWhatLacks(backup as unknown as Backup, async () => records);
  return { given: batches.filter(Boolean), dropped };
}

test("the copy is given what it lacks and what may have changed, and nothing else stays in it", async () => {
  const all = { self: { changes: true }, seq: { changes: true }, a: {}, b: {}, c: { gone: true } };
  assert.deepEqual(await given(["self", "a", "old"], all), { given: ["self seq b"], dropped: ["old"] });
});

test("entries go to the copy fifty at a time, and a photo is not waited with", async () => {
  const entries = Object.fromEntries(Array.from({ length: 120 }, (_, i) => [`e${i}`, {}]));
  assert.deepEqual(
    (await given([], entries)).given.map((batch) => batch.split(" ").length),
    [50, 50, 20],
  );
  assert.deepEqual((await given([], { a: {}, p: { bytes: true }, q: { bytes: true }, b: {} })).given, ["a p", "q", "b"]);
});

test("what was sent or dropped while the copy is made is not copied", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    const [a, b] = await store.capture(property, [
      { feature: "dam", set: { kind: "check-dam" } },
      { feature: "visit", set: { kind: "visit" }, photo: { bytes: new ArrayBuffer(1), takenFor: "visit" } },
    ]);
    await store.keepDraft("form/x", 1);
    await store.keepDraft("form/y", 1);
    const [photo] = await store.outbox.photosWaiting();
    const records = await unsentRecords(store.db, store.self()!, false);
    const keys = async () => (await Promise.all(records.map(({ record }) => record()))).flatMap((r) => (r ? [r.key] : []));
    const always = ["self", `seq/phone-1/${property}`];
    assert.deepEqual((await keys()).sort(), [
      "draft/form/x",
      "draft/form/y",
      ...[a!.entry, b!.entry].map((id) => `entry/${id}`).sort(),
      `photo/${photo!.sha}`,
      ...always,
    ]);
    const { highSeq } = new Register().take((await store.outbox.all()).entries[0]!.text)[0]!;
    await store.outbox.settle(property, [
      { id: a!.entry, n: 1, highSeq },
      { id: b!.entry, refused: "too far", highSeq },
    ]);
    await store.outbox.photoSent(photo!.sha);
    await store.dropDraft("form/x");
    assert.deepEqual((await keys()).sort(), ["draft/form/y", `entry/${b!.entry}`, ...always]);
  }));

test("a page that starts brings the copy in step once nobody waits for its first screen", () =>
  onPhone(async (phone) => {
    const first = await phone.open();
    await first.enrol(self("phone-1"));
    await first.keepDraft("form/x", 1);
    const name = [...phone.caches.all.keys()].find((n) => n.startsWith("headcut-spare/"))!;
    const clock = new Clock();
    await withGlobals(clock.globals, async () => {
      phone.caches.all.delete(name);
      const store = await phone.open();
      assert.equal(await store.copied(), null);
      await clock.pass(2_999);
      assert.equal(await store.copied(), null);
      await clock.pass(1);
      assert.deepEqual(await store.copied(), { entries: 0, photos: 0, drafts: 1 });
      await clock.end();
    });
  }));

test("a page that has lost something leaves the copy as it is", () =>
  onPhone(async (phone) => {
    const clock = new Clock();
    await withGlobals(clock.globals, async () => {
      const store = await phone.open();
      await store.enrol(self("phone-1"));
      await clock.settle();
      await (await BackupCache.open("headcut", false)).keep([{ key: "draft/lost", value: 1 }], []);
      const again = await phone.open();
      again.marks.raise("phone-1", property, 9);
      await assert.rejects(again.capture(property, [{ set: { kind: "peg" } }]), { kind: "behind" });
      await clock.pass(10_000);
      assert.ok((await BackupCache.open("headcut", true)).kept.has("draft/lost"));
      await clock.end();
    });
  }));
