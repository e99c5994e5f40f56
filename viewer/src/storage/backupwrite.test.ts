// What is recorded goes to the copy and to the database at once, and to the server when it is in both.

import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import { BackupCache } from "./backupcache.ts";
import { onPhone, property, self } from "./phone.test.ts";

const peg = { set: { kind: "peg" } };

test("an entry that is not copied yet is not sent yet", () =>
  onPhone((phone) => {
    let room: Promise<unknown> = Promise.resolve();
    const { open } = phone.caches;
    phone.caches.open = async (name) => {
      const cache = await open.call(phone.caches, name);
      return { ...cache, put: (address, response) => room.then(() => cache.put(address, response)) };
    };
    const clock = new Clock(); // it stands: the copy is waited for as long as it takes
    return withGlobals(clock.globals, async () => {
      const store = await phone.open();
      await store.enrol(self("phone-1"));
      const known = async () => [(await store.counts()).unsent, (await store.outbox.waiting(property, Infinity, Infinity)).length];
      await store.capture(property, [peg]);
      assert.deepEqual(await known(), [1, 1]);
      let copied = () => {};
      room = new Promise<void>((go) => (copied = go));
      const recorded = store.capture(property, [peg]);
      while ((await known())[0] !== 2);
      assert.deepEqual(await known(), [2, 1]);
      copied();
      await recorded;
      assert.deepEqual(await known(), [2, 2]);
      await clock.end();
    });
  }));

test("an entry that was not saved is not in the copy", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    const { prototype } = IDBTransaction;
    const { commit } = prototype;
    prototype.commit = function (this: IDBTransaction) {
      this.abort();
    };
    try {
      await assert.rejects(store.capture(property, [peg]), { kind: "closed" });
    } finally {
      prototype.commit = commit;
    }
    assert.equal((await store.copied())?.entries, 0);
    const [saved] = await store.capture(property, [peg]);
    const keys = [...(await BackupCache.open("headcut", true)).kept.keys()].filter((key) => key.startsWith("entry/"));
    assert.deepEqual(keys, [`entry/${saved!.entry}`]);
  }));
