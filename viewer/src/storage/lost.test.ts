// What a browser loses, how it is noticed, and what comes back. No browser.

import assert from "node:assert/strict";
import test from "node:test";
import { BackupCache } from "./backupcache.ts";
import { Connection } from "./connection.ts";
import { onPhone, property, read, Register, self, until, type Phone } from "./phone.test.ts";
import { readRescued } from "./handover/salvage.ts";
import { makeFile } from "./handover/file.ts";
import { lastFile, onlyHere, rememberFile } from "./handover/saved.ts";

const photo = (byte: number) => new Uint8Array([byte, byte]).buffer;
const trouble = (kind: string) => (e: { kind?: string; todo?: string }) => e.kind === kind && !!e.todo;

/** A phone with one entry that was sent, two that were not, a photo of one, and what is being typed. */
async function used(phone: Phone): Promise<{ sent: string; unsent: readonly string[] }> {
  const store = await phone.open();
  await store.enrol(self("phone-1"));
  const register = new Register();
  const [sent] = await store.capture(property, [{ feature: "dam", set: { kind: "check-dam" } }]);
  await store.outbox.settle(property, register.take(...(await store.outbox.waiting(property, Infinity, Infinity)).map((w) => w.text)));
  const [a] = await store.capture(property, [{ feature: "dam", set: { name: "A" } }]);
  const [b] = await store.capture(property, [{ photo: { bytes: photo(1), takenFor: "visit" }, set: { kind: "visit" } }]);
  await store.keepDraft("form/x", { text: "half" });
  await store.keepDraft("photo/y", photo(2));
  await store.keepDraft("form/gone", 1);
  await store.dropDraft("form/gone");
  await until(() => phone.slots.size > 0); // how far it has counted lies outside of the database too
  await until(() => phone.caches.all.get("headcut-marks")?.size === 1);
  return { sent: sent!.entry, unsent: [a!.entry, b!.entry] };
}

const waiting = async (phone: Phone) => (await phone.store.outbox.waiting(property, Infinity, Infinity)).map((w) => read(w.text));

test("a database that was emptied is missed, and what was not sent comes back with no signal", () =>
  onPhone(async (phone) => {
    const { unsent } = await used(phone);
    phone.loseDatabase();
    const store = await phone.open();
    assert.equal(store.trouble()?.kind, "gone");
    await assert.rejects(store.capture(property, [{ set: { kind: "peg" } }]), trouble("gone"));
    assert.deepEqual(await store.copied(), { entries: 2, photos: 1, drafts: 2 });
    await store.bringBack();
    assert.equal(store.trouble(), null);
    assert.deepEqual(store.self(), self("phone-1"));
    const back = await waiting(phone);
    assert.deepEqual([back.map((e) => e.id), back.map((e) => e.deviceSeq)], [unsent, [2, 3]]);
    assert.deepEqual((await store.feature("dam"))!.fields, { name: "A" });
    assert.deepEqual([(await store.counts()).photosUnsent, (await (await store.photos("visit"))[0]!.bytes()).byteLength], [1, 2]);
    assert.deepEqual([await store.draft("form/x"), await store.draft("form/gone")], [{ text: "half" }, undefined]);
    assert.equal((await store.draft<ArrayBuffer>("photo/y"))!.byteLength, 2);
    assert.equal(await store.outbox.resendDue(property), true, "some of it may have arrived");
    await store.capture(property, [{ set: { kind: "peg" } }]);
    assert.equal((await waiting(phone))[2]!.deviceSeq, 4, "it counts on");
    await store.bringBack();
    assert.equal((await waiting(phone)).length, 3, "there is nothing to bring back");
  }));

test("a phone that lost its database enrols again, and what was not sent goes over to its new number", () =>
  onPhone(async (phone) => {
    const { unsent } = await used(phone);
    phone.loseDatabase();
    const store = await phone.open();
    const asked = await store.asking("AAAAA-BBBBB", true);
    assert.deepEqual(asked.former, { device: "phone-1", token: "token of phone-1" }, "by the copy");
    await store.enrol({ ...self("phone-2"), properties: [{ id: "far-block", name: "Far Block" }] });
    const back = await waiting(phone);
    assert.deepEqual(
      back.map((e) => [e.id, e.device, e.deviceSeq]),
      [
        [unsent[0], "phone-2", 1],
        [unsent[1], "phone-2", 2],
      ],
    );
    assert.deepEqual(
      store.self()!.properties.map((p) => [p.id, p.barred]),
      [
        [property, true],
        ["far-block", undefined],
      ],
    );
    assert.equal((await (await store.outbox.photosWaiting())[0]!.bytes()).byteLength, 2);
    assert.equal(store.trouble(), null);
  }));

test("a database that has gone back is missed too, by either of the two numbers outside of it", () =>
  onPhone(async (phone) => {
    await used(phone);
    const key = "headcut.marks/headcut";
    const counted = phone.slots.get(key)!;
    assert.deepEqual(JSON.parse(counted), { "phone-1": { [property]: 3 } });
    const higher = JSON.stringify({ "phone-1": { [property]: 4, "far-block": 0 } });
    phone.slots.set(key, higher);
    assert.equal((await phone.open()).trouble()?.kind, "behind");
    await assert.rejects(phone.store.capture(property, [{ set: { kind: "peg" } }]), trouble("behind"));
    await assert.rejects(phone.store.enrol(self("phone-1")), trouble("invalid"), "its number is used already");
    await phone.store.counts();
    assert.equal(phone.store.trouble()?.kind, "behind", "what can still be read does not mend it");
    assert.notEqual((await phone.store.asking("AAAAA-BBBBB", false)).device, "phone-1");
    await phone.store.bringBack();
    assert.equal(phone.store.trouble(), null);
    const { entries, unsent, photosUnsent } = await phone.store.counts();
    assert.deepEqual([entries, unsent, photosUnsent], [3, 2, 1], "nothing is there twice");
    await phone.store.capture(property, [{ set: { kind: "peg" } }]);
    assert.equal((await waiting(phone)).pop()!.deviceSeq, 5, "the number that is missing may be used");
    for (const broken of ["no JSON", "null", "7"]) {
      phone.slots.set(key, broken);
      assert.equal((await phone.open()).trouble(), null, "the other number tells the same");
    }
    const [cache] = [phone.caches.all.get("headcut-marks")!];
    cache.set([...cache.keys()][0]!, new TextEncoder().encode(JSON.stringify({ "phone-1": { [property]: 9 } })));
    assert.equal((await phone.open()).trouble()?.kind, "behind");
    phone.slots.set(key, JSON.stringify({ "phone-1": { [property]: 3 } }));
    cache.clear();
    assert.equal((await phone.open()).trouble(), null);
  }));

test("a phone that was killed while it enrolled is known by its copy alone", () =>
  onPhone(async (phone) => {
    await used(phone);
    phone.loseDatabase();
    phone.slots.clear();
    phone.caches.all.delete("headcut-marks");
    assert.equal((await phone.open()).trouble()?.kind, "gone");
    phone.caches.all.clear();
    assert.equal((await phone.open()).trouble(), null, "nothing was ever here");
  }));

test("when the copy lacks something at a start, or has too much, it is brought in step", () =>
  onPhone(async (phone) => {
    const { sent, unsent } = await used(phone);
    const name = [...phone.caches.all.keys()].find((n) => n.startsWith("headcut-spare/"))!;
    phone.caches.all.delete(name);
    const stale = await BackupCache.open("headcut", false);
    await stale.keep([{ key: `entry/${sent}`, value: { property, text: "{}" } }], []);
    const store = await phone.open();
    await store.enrol(self("phone-1")); // which does not wait for a calm moment
    await until(async () => (await store.copied())?.drafts === 2);
    await until(async () => !(await BackupCache.open("headcut", true)).kept.has(`entry/${sent}`));
    const keys = [...(await BackupCache.open("headcut", true)).kept.keys()].sort();
    assert.deepEqual(keys, [
      "draft/form/x",
      "draft/photo/y",
      ...unsent.map((id) => `entry/${id}`).sort(),
      `photo/${(await store.outbox.photosWaiting())[0]!.sha}`,
      "self",
      `seq/phone-1/${property}`,
    ]);
    await store.outbox.settle(
      property,
      unsent.map((id) => ({ id, n: 1, highSeq: 3 })),
    );
    await until(async () => (await store.copied())?.entries === 0);
    await store.outbox.photoSent((await store.outbox.photosWaiting())[0]!.sha);
    await until(async () => (await store.copied())?.photos === 0);
  }));

test("the copy's journal is kept short, and is read as it was written", () =>
  onPhone(async (phone) => {
    const cache = await BackupCache.open("trial", false);
    await cache.keep(
      [
        { key: "self", value: 1 },
        { key: "photo/a", value: {}, bytes: photo(1) },
        { key: "seq/d/p", value: 5, rises: true },
      ],
      [],
    );
    await cache.keep(
      [
        { key: "seq/d/p", value: 5, rises: true },
        { key: "seq/d/p", value: 4, rises: true },
      ],
      ["nothing"],
    );
    const pieces = () => [...phone.caches.all.get("headcut-spare/trial")!.keys()].filter((k) => k.includes("/journal/")).length;
    assert.equal(pieces(), 1, "what says nothing new is not written");
    for (let n = 0; n < 198; n++) await cache.keep([{ key: "draft/x", value: n }], []);
    assert.equal(pieces(), 199);
    await cache.keep(
      [
        { key: "draft/x", value: "last" },
        { key: "seq/d/p", value: 6, rises: true },
      ],
      [],
    );
    assert.equal(pieces(), 1);
    const files = phone.caches.all.get("headcut-spare/trial")!;
    files.set("https://headcut.invalid/headcut-spare/bytes/photo%2Fstray", new Uint8Array(1));
    const kept = async (readOnly: boolean) => {
      const again = await BackupCache.open("trial", readOnly);
      return [...again.kept.values()].map(({ key, value, size }) => [key, value, size]).sort();
    };
    const want = [
      ["draft/x", "last", undefined],
      ["photo/a", {}, 2],
      ["self", 1, undefined],
      ["seq/d/p", 6, undefined],
    ];
    assert.deepEqual(await kept(true), want);
    assert.equal(files.size, 3, "read only, it leaves all as it is");
    assert.deepEqual(await kept(false), want);
    assert.equal(files.size, 2, "what nothing names goes");
    const again = await BackupCache.open("trial", false);
    await again.keep([{ key: "draft/y", value: 1 }], []);
    await again.keep([], ["draft/y", "draft/x"]);
    assert.equal(pieces(), 3);
    assert.equal((await kept(false)).length, 3);
    assert.equal(pieces(), 1);
    assert.equal((await again.bytes("photo/a"))!.byteLength, 2);
    assert.equal(await again.giveUpBytes(), true);
    assert.deepEqual([await again.bytes("photo/a"), await again.giveUpBytes()], [undefined, false]);
    await again.keep([{ key: "photo/b", value: {}, bytes: photo(1) }], []);
    assert.equal(again.kept.has("photo/b"), false, "its room was needed for something better");
    phone.quotaBytes = (64 << 20) + 2;
    const roomy = await BackupCache.open("trial", false);
    await roomy.keep([{ key: "photo/c", value: {}, bytes: photo(1) }], []);
    phone.quotaBytes--;
    await roomy.keep([{ key: "photo/d", value: {}, bytes: photo(1) }], []);
    assert.deepEqual([roomy.kept.has("photo/c"), roomy.kept.has("photo/d")], [true, false]);
    files.delete("https://headcut.invalid/headcut-spare/bytes/photo%2Fc");
    assert.equal((await BackupCache.open("trial", true)).kept.has("photo/c"), false, "its bytes are gone");
  }));

/** Has writes to a table fail as a full disk does, so many times. */
async function full<T>(table: string, times: number, job: () => Promise<T>): Promise<T> {
  const { put } = IDBObjectStore.prototype;
  IDBObjectStore.prototype.put = function (this: IDBObjectStore, ...args: [unknown, IDBValidKey?]) {
    if (this.name === table && times-- > 0) throw new DOMException("full", "QuotaExceededError");
    return put.apply(this, args);
  };
  try {
    return await job();
  } finally {
    IDBObjectStore.prototype.put = put;
  }
}

test("when the disk is full, copies of photos give way, then photos, and entries last", () =>
  onPhone(async (phone) => {
    await used(phone);
    const { store } = phone;
    const entry = () => store.capture(property, [{ set: { kind: "peg" } }]);
    const picture = (byte: number) => store.capture(property, [{ photo: { bytes: photo(byte), takenFor: "" } }]);
    await full("entries", 1, entry);
    assert.equal((await store.copied())!.photos, 0, "the copy of the photo made room");
    await full("entries", 1, entry); // in the room that was held back
    await assert.rejects(full("entries", 2, entry), trouble("full"), "no more room is held back");
    phone.quotaBytes = 1 << 20;
    await assert.rejects(picture(5), trouble("full"));
    await entry();
    phone.quotaBytes = 2 ** 40;
    await picture(6);
    await assert.rejects(
      full("photoBytes", 2, () => picture(7)),
      /no more room for photos/,
    );
    await full("drafts", 0, () => store.keepDraft("form/x", 1));
    await assert.rejects(
      full("drafts", 1, () => store.keepDraft("form/x", 2)),
      trouble("full"),
    );
    assert.equal(await store.draft("form/x"), 2, "what could not be written is not forgotten");
    await store.keepDraft("form/z", 1);
    assert.equal(await (await phone.open()).draft("form/x"), 2, "it went with the next");
    assert.equal((await waiting(phone)).length, 2 + 4 + 0);
  }));

test("room is held back where there is some, and not twice", () =>
  onPhone(async (phone) => {
    phone.quotaBytes = (32 << 20) - 1;
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    const held = () => store.db.read((db) => db.count("ballast"));
    const picture = () => store.capture(property, [{ photo: { bytes: photo(1), takenFor: "" } }]);
    await assert.rejects(picture(), trouble("full"));
    assert.equal(await held(), 0);
    await assert.rejects((await phone.open()).capture(property, [{ photo: { bytes: photo(1), takenFor: "" } }]), trouble("full")); // at once
    phone.quotaBytes = 32 << 20;
    await assert.rejects(full("ballast", 1, picture), trouble("full"), "the browser promised too much");
    await picture();
    assert.equal(await held(), 1);
    const noise = new Uint8Array((await store.db.read((db) => db.get("ballast", "ballast")))!);
    for (let at = 0; at < noise.length; at += 4096)
      assert.ok(
        noise.subarray(at, at + 64).some((byte) => byte > 0),
        "a database could make it smaller",
      );
    phone.quotaBytes = 0;
    await picture();
    assert.equal(await held(), 1, "it is there already");
  }));

test("a connection that the browser dropped is opened again, once, and the job run again", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    const { db } = store;
    (await db.open()).close();
    await store.capture(property, [{ set: { kind: "peg" } }]);
    const runs: boolean[] = [];
    const dropped = (times: number, name: string) =>
      db.write(["notes"], async (tx, again) => {
        runs.push(again);
        await tx.objectStore("notes").put(true, `${name} ${times}`);
        if (runs.length <= times) throw new DOMException("dropped", name);
        return "done";
      });
    assert.equal(await dropped(1, "UnknownError"), "done");
    assert.deepEqual(runs.splice(0), [false, true]);
    await assert.rejects(dropped(2, "UnknownError"), /dropped/);
    assert.deepEqual(runs.splice(0), [false, true]);
    await assert.rejects(dropped(1, "DataError"), /dropped/);
    assert.deepEqual(runs.splice(0), [false], "what is not the connection's fault is not tried again");
    assert.equal(await db.read((open) => open.count("notes")), 1, "and a broken job leaves nothing");
  }));

test("a database that must be there is not made, and an older page does not open a newer one", () =>
  onPhone(async () => {
    const lost = new Connection("lost", true);
    await assert.rejects(lost.open(), trouble("gone"));
    assert.deepEqual(await indexedDB.databases(), []);
    lost.allowNew();
    const db = await lost.open();
    assert.equal(db.version, 1);
    await assert.doesNotReject(new Connection("lost", true).open());
    let blocked = false;
    const newer = new Connection("lost", true, [() => undefined, () => undefined]);
    await newer.open().then(() => (blocked = true));
    assert.equal(blocked, true, "the older one let go");
    await assert.rejects(lost.open(), trouble("closed"));
    await assert.rejects(new Connection("lost", true).open(), trouble("closed"));
    newer.close();
    newer.close();
    await assert.doesNotReject(newer.open());
  }));

test("what is not sent is read out of a database that the store cannot open, and out of the copy", () =>
  onPhone(async (phone) => {
    await assert.rejects(readRescued("headcut", 1_000), "there is nothing");
    const { sent, unsent } = await used(phone);
    const ids = async (rescued: Awaited<ReturnType<typeof readRescued>>) =>
      (await rescued.outbox.all()).entries.map(({ text }) => read(text).id);
    const whole = await readRescued();
    assert.deepEqual([await ids(whole), whole.entries, whole.photos, whole.unreadable], [unsent, 2, 1, 0]);
    assert.deepEqual([whole.self.device, whole.self.token, whole.self.author], ["phone-1", "token of phone-1", "R. Field"]);
    const [shown] = (await whole.outbox.all()).photos;
    assert.deepEqual([shown!.feature, shown!.size, (await shown!.bytes()).byteLength], ["visit", 2, 2]);
    // Records that the browser does not give out: one at a time, and of those the copy has what is lost.
    const { getAll, get } = IDBObjectStore.prototype;
    const broken = new Set<unknown>([unsent[0], shown!.sha]);
    IDBObjectStore.prototype.getAll = () => {
      throw new DOMException("damaged", "UnknownError");
    };
    IDBObjectStore.prototype.get = function (this: IDBObjectStore, key: IDBValidKey) {
      if (broken.has(key)) throw new DOMException("damaged", "UnknownError");
      return get.call(this, key);
    };
    try {
      const part = await readRescued();
      assert.deepEqual([(await ids(part)).sort(), part.photos, part.unreadable], [[...unsent].sort(), 1, 0]);
      broken.add(sent);
      assert.equal((await readRescued()).unreadable, 1, "what the server has is in no copy");
      phone.caches.all.clear();
      const alone = await readRescued();
      assert.deepEqual([await ids(alone), alone.photos, alone.unreadable], [[unsent[1]], 0, 3]);
    } finally {
      Object.assign(IDBObjectStore.prototype, { getAll, get });
    }
    await phone.open();
    await phone.store.enrol(self("phone-1"));
    await until(async () => (await phone.store.copied())?.photos === 1);
    phone.loseDatabase();
    const copy = await readRescued();
    assert.deepEqual([await ids(copy), copy.photos, copy.unreadable, copy.self.device], [unsent, 1, 0, "phone-1"]);
    assert.deepEqual(await indexedDB.databases(), [], "no new database is made");
  }));

test("a file holds what only this phone has, and the phone knows what is in it", () =>
  onPhone(async (phone) => {
    await used(phone);
    const { store } = phone;
    assert.deepEqual(await onlyHere(store), { entries: 2, photos: 1 });
    const at = new Date(2026, 2, 1, 16, 5);
    const file = await makeFile(
      store.outbox,
      {
        ...store.self()!,
        properties: [
          { id: "b", name: "Begun", begun: true },
          { id: "c", name: "" },
        ],
      },
      at,
    );
    assert.equal(file.name, "headcut-r-field-2026-03-01-1605.tar");
    const text = await file.bytes.text();
    const about = JSON.parse(/\{"format"[^\0]*\}/.exec(text)![0]) as {
      entries: number;
      photos: number;
      device: string;
      properties: { id: string; seal: string }[];
    };
    assert.deepEqual([about.entries, about.photos, about.device, about.properties.length], [2, 1, "phone-1", 1]);
    assert.match(about.properties[0]!.seal, /^[0-9a-f]{64}$/);
    const lines = text.match(/\{"property"[^\n]*\}/g)!.map((line) => JSON.parse(line) as { entry: string; seal: string });
    assert.deepEqual(
      lines.map((l) => l.entry),
      (await store.outbox.all()).entries.map((e) => e.text),
    );
    assert.ok(lines.every((l) => /^[0-9a-f]{64}$/.test(l.seal)) && lines[0]!.seal !== lines[1]!.seal);
    assert.ok(text.includes(`photos/${file.holds.photos[0]}.jpg`));
    await rememberFile(store, { ...file.holds, name: file.name, atMS: 1 });
    assert.deepEqual([await onlyHere(store), (await lastFile(store))!.name], [{ entries: 0, photos: 0 }, file.name]);
    await store.capture(property, [{ set: { kind: "peg" } }]);
    assert.deepEqual(await onlyHere(store), { entries: 1, photos: 0 });
  }));

test("the pieces of the copy's journal are read in the order of their numbers, however they are listed", () =>
  onPhone(async (phone) => {
    const cache = await BackupCache.open("trial", false);
    for (let n = 1; n <= 10; n++) await cache.keep([{ key: "draft/x", value: n }], []);
    const files = phone.caches.all.get("headcut-spare/trial")!;
    const pieces = [...files].sort(([a], [b]) => (a < b ? -1 : 1)); // 1, 10, 2
    files.clear();
    for (const [address, bytes] of pieces) files.set(address, bytes);
    const again = await BackupCache.open("trial", false);
    assert.equal(again.kept.get("draft/x")?.value, 10);
    await again.keep([{ key: "draft/x", value: "next" }], []);
    const last = [...files.keys()].map((address) => Number(address.split("/").pop())).sort((a, b) => a - b);
    assert.deepEqual(last, [11, 12], "the next piece comes after all others");
  }));
