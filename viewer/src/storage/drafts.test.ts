// What is typed and not saved yet, on one phone. No browser.

import assert from "node:assert/strict";
import test from "node:test";
import { onPhone, self } from "./phone.test.ts";

test("what is typed is kept under its key, the newest of it, together or not at all", () =>
  onPhone(async (phone) => {
    await phone.open();
    const { store } = phone;
    await store.enrol(self("phone-1"));
    const writes = [1, 2, 3].map((n) => store.keepDraft("form/a", n));
    assert.equal(await store.draft("form/a"), 3, "before it is on the disk");
    await Promise.all(writes);
    await store.keepDraft("form/none", undefined);
    await store.keepDrafts(
      new Map<string, unknown>([
        ["form/b", { n: 4 }],
        ["book", "x"],
        ["form/a", undefined],
      ]),
    );
    const pending = store.keepDraft("form/c", 5);
    assert.deepEqual([...(await store.draftsUnder("form/"))].sort(), [
      ["b", { n: 4 }],
      ["c", 5],
      ["none", null],
    ]);
    await pending;
    const dropping = store.dropDraft("form/b");
    assert.deepEqual([...(await store.draftsUnder("form/")).keys()].sort(), ["c", "none"]);
    await dropping;
    assert.deepEqual([await store.draft("form/a"), await store.draft("form/b"), await store.draft("book")], [undefined, undefined, "x"]);
    assert.equal(await (await phone.open()).draft("form/c"), 5, "after a start");
  }));

test("what is typed while a write fails is what is kept", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    const { put } = IDBObjectStore.prototype;
    let fails = true;
    IDBObjectStore.prototype.put = function (this: IDBObjectStore, ...args: [unknown, IDBValidKey?]) {
      if (this.name === "drafts" && fails) {
        fails = false;
        throw new DOMException("broken", "DataError");
      }
      return put.apply(this, args);
    };
    try {
      const [first, second] = await Promise.allSettled([store.keepDraft("form/x", "P"), store.keepDraft("form/x", "P1")]);
      assert.deepEqual([first.status, second.status], ["rejected", "fulfilled"]);
    } finally {
      IDBObjectStore.prototype.put = put;
    }
    for (const page of [store, await phone.open()]) assert.equal(await page.draft("form/x"), "P1");
  }));
