// What comes back from the copy alone, and how the phone counts on after it.

import assert from "node:assert/strict";
import test from "node:test";
import { BackupCache } from "./backupcache.ts";
import { entryRecord, selfRecord, seqRecord } from "./backuprecords.ts";
import { entryOf, onPhone, property, read, self, until, type Phone } from "./phone.test.ts";

const far = { id: "far-block", name: "Far Block" };

/** A phone that has nothing but a copy with these records. */
async function broughtBack(phone: Phone, ...records: Parameters<BackupCache["keep"]>[0]) {
  const copy = await BackupCache.open("headcut", false);
  await copy.keep([selfRecord(self("phone-1", far)), ...records], []);
  const store = await phone.open();
  assert.equal(store.trouble()?.kind, "gone");
  await store.bringBack();
  assert.equal(store.trouble(), null);
  return store;
}

const numbers = async (phone: Phone, of: string) =>
  (await phone.store.outbox.waiting(of, Infinity, Infinity)).map(({ text }) => [read(text).device, read(text).deviceSeq]);

const written = (id: string, of: string, device: string, deviceSeq: number) =>
  entryRecord({ id, property: of, text: entryOf(`peg-${id}`, { kind: "peg" }, { id, property: of, device, deviceSeq }) });

test("the phone counts on behind the entries of its own number, of each property", () =>
  onPhone(async (phone) => {
    const store = await broughtBack(
      phone,
      written("a", property, "phone-1", 5),
      written("b", property, "phone-0", 9),
      written("c", far.id, "phone-1", 7),
    );
    for (const of of [property, far.id]) await store.capture(of, [{ set: { kind: "peg" } }]);
    const former = ["phone-1", 6]; // sent under the number that the phone has now
    assert.deepEqual((await numbers(phone, property)).sort(), [["phone-1", 5], former, ["phone-1", 7]]);
    assert.deepEqual(await numbers(phone, far.id), [
      ["phone-1", 7],
      ["phone-1", 8],
    ]);
    await until(() => phone.gathered === 3); // what is read of the copy alone is folded
    assert.equal(store.self()?.properties.length, 2);
  }));

test("where all was sent the phone counts on behind what the copy says it had counted", () =>
  onPhone(async (phone) => {
    const store = await broughtBack(
      phone,
      seqRecord({ device: "phone-1", property, seq: 5 }),
      seqRecord({ device: "phone-0", property, seq: 9 }),
      seqRecord({ device: "phone-1", property: far.id, seq: 7 }),
    );
    for (const of of [property, far.id]) await store.capture(of, [{ set: { kind: "peg" } }]);
    assert.deepEqual([await numbers(phone, property), await numbers(phone, far.id)], [[["phone-1", 6]], [["phone-1", 8]]]);
  }));

test("what came back waits since it was seen", () =>
  onPhone(async (phone) => {
    const seenAt = "2026-03-01T09:00:00+10:00";
    const store = await broughtBack(phone, written("a", property, "phone-1", 1));
    assert.deepEqual((await store.counts()).oldestUnsent, new Date(seenAt));
  }));
