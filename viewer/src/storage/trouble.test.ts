// What turns out to be wrong with the store while a page is open, or as soon as it is.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { onPhone, property, self, until, type Phone } from "./phone.test.ts";

const peg = { set: { kind: "peg" } };

/** Runs a job while the browser fails at one of its functions. */
async function failing<T extends object>(of: T, name: keyof T & string, why: DOMException, job: () => Promise<unknown>): Promise<void> {
  const before = Object.getOwnPropertyDescriptor(of, name);
  Object.defineProperty(of, name, {
    value: () => {
      throw why;
    },
    configurable: true,
  });
  try {
    await job();
  } finally {
    if (before) Object.defineProperty(of, name, before);
    else Reflect.deleteProperty(of, name);
  }
}

async function enrolled(phone: Phone) {
  const store = await phone.open();
  await store.enrol(self("phone-1"));
  await until(() => phone.slots.size > 0);
  return store;
}

test("a loss that shows while the page is open is told to it, and stays told", async () => {
  for (const [kind, lose] of [
    ["behind", async ({ store }: Phone) => store.marks.raise("phone-1", property, 9)],
    [
      "gone",
      async (phone: Phone) => {
        phone.store.db.close();
        phone.loseDatabase();
      },
    ],
    [
      "damaged",
      async ({ store }: Phone) => {
        store.db.close();
        store.db.open = () => Promise.reject(new DOMException("torn", "UnknownError"));
      },
    ],
  ] as const)
    await onPhone(async (phone) => {
      const store = await enrolled(phone);
      await until(() => !store.untold());
      let told = 0;
      store.watch(() => void told++);
      await lose(phone);
      await assert.rejects(store.capture(property, [peg]), { kind });
      assert.equal(store.trouble()?.kind, kind);
      await until(() => told === 1);
    });
});

test("a store that the browser closed is tried again, and is well as soon as it answers", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    await failing(IDBObjectStore.prototype, "get", new DOMException("busy", "DataError"), async () => {
      assert.equal((await phone.open()).trouble()?.kind, "closed");
    });
    await phone.store.counts();
    assert.equal(phone.store.trouble(), null);
  }));

test("what cannot be read once is read the next time", () =>
  onPhone(async (phone) => {
    const store = await enrolled(phone);
    await store.capture(property, [peg]);
    await failing(IDBIndex.prototype, "getAll", new DOMException("busy", "DataError"), () =>
      assert.rejects((phone.store = store).features(property), { kind: "closed" }),
    );
    assert.equal((await store.features(property)).length, 1);
  }));

test("a database that only the cache remembers is not made again", () =>
  onPhone(async (phone) => {
    const store = await enrolled(phone);
    await until(() => phone.caches.all.get("headcut-marks")?.size === 1);
    store.close();
    phone.loseDatabase();
    phone.slots.clear();
    for (const name of phone.caches.all.keys()) if (name !== "headcut-marks") phone.caches.all.delete(name);
    assert.equal((await phone.open()).trouble()?.kind, "gone"); // before anything was recorded
    assert.deepEqual(await indexedDB.databases(), []);
  }));

test("the browser is asked to keep what is stored once there is something to keep", () =>
  onPhone(async (phone) => {
    let asked = 0;
    const storage = { ...navigator.storage, persisted: async () => false, persist: async () => void asked++ };
    await withGlobals({ navigator: { storage } }, async () => {
      const store = await phone.open();
      await store.counts();
      assert.equal(asked, 0, "nobody is enrolled");
      await store.enrol(self("phone-1"));
      await until(() => asked > 0);
    });
  }));
