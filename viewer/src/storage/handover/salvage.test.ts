// What is read past the store, out of its database and its copy.

import assert from "node:assert/strict";
import test from "node:test";
import { BackupCache } from "../backupcache.ts";
import { photoRecord } from "../backuprecords.ts";
import { Connection } from "../connection.ts";
import { onPhone, property, read, self, type Phone } from "../phone.test.ts";
import { steps } from "../schema.ts";
import { readRescued } from "./salvage.ts";

async function enrolled(phone: Phone) {
  const store = await phone.open();
  await store.enrol(self("phone-1"));
  return store;
}

test("what is read is in the order of capture, and holds up no newer version of the database", () =>
  onPhone(async (phone) => {
    const store = await enrolled(phone);
    await store.capture(
      property,
      Array.from({ length: 20 }, () => ({ set: { kind: "peg" } })), // whose ids of one millisecond do not tell
    );
    const rescued = await readRescued();
    assert.deepEqual(
      (await rescued.outbox.all()).entries.map(({ text }) => read(text).deviceSeq),
      Array.from({ length: 20 }, (_, i) => i + 1),
    );
    store.close();
    assert.equal((await new Connection("headcut", true, [...steps, () => undefined]).open()).version, steps.length + 1);
  }));

test("where the database is gone an entry and its photo come out of the copy", () =>
  onPhone(async (phone) => {
    const store = await enrolled(phone);
    await store.capture(property, [{ set: { kind: "visit" }, photo: { bytes: new ArrayBuffer(2), takenFor: "" } }]);
    const [photo] = await store.outbox.photosWaiting();
    phone.loseDatabase();
    const rescued = await readRescued();
    assert.deepEqual([rescued.entries, rescued.photos, rescued.unreadable, rescued.self.author], [1, 1, 0, "R. Field"]);
    assert.deepEqual(
      (await rescued.outbox.all()).photos.map(({ sha, sent }) => [sha, sent]),
      [[photo!.sha, false]],
    );
  }));

test("what the server has is not read out of a copy that is behind", () =>
  onPhone(async (phone) => {
    const store = await enrolled(phone);
    const [sent] = await store.capture(property, [{ set: { kind: "visit" }, photo: { bytes: new ArrayBuffer(2), takenFor: "" } }]);
    const [photo] = await store.outbox.photosWaiting();
    await store.outbox.settle(property, [{ id: sent!.entry, n: 1, highSeq: 1 }]);
    await store.outbox.photoSent(photo!.sha);
    const [refused] = await store.capture(property, [{ set: { kind: "peg" } }]);
    await store.outbox.settle(property, [{ id: refused!.entry, refused: "too far", highSeq: 2 }]);
    await store.copied();
    const stale = await BackupCache.open("headcut", false);
    const text = JSON.stringify({ id: sent!.entry, device: "phone-1", deviceSeq: 1 });
    await stale.keep(
      [{ key: `entry/${sent!.entry}`, value: { property, text } }, photoRecord(photo!.sha, ["visit"], new ArrayBuffer(2))],
      [],
    );
    const rescued = await readRescued();
    assert.deepEqual(
      (await rescued.outbox.all()).entries.map((e) => read(e.text).id),
      [refused!.entry],
    );
    assert.deepEqual([rescued.photos, rescued.unreadable], [0, 0]);
  }));
