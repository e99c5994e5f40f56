// The copy in Cache Storage, where the browser refuses to take more.

import assert from "node:assert/strict";
import test from "node:test";
import { BackupCache } from "./backupcache.ts";
import { onPhone } from "./phone.test.ts";

test("a photo that the browser has no room for is not in the copy, and what comes with it is", () =>
  onPhone(async () => {
    const copy = await BackupCache.open("trial", false);
    const { put } = copy.cache;
    copy.cache.put = async (address, response) => {
      if (String(address).includes("/bytes/")) throw new DOMException("full", "QuotaExceededError");
      return put(address, response);
    };
    await copy.keep(
      [
        { key: "photo/a", value: {}, bytes: new ArrayBuffer(2) },
        { key: "draft/x", value: 1 },
      ],
      [],
    );
    const again = await BackupCache.open("trial", true);
    assert.deepEqual([...copy.kept.keys(), ...again.kept.keys()], ["draft/x", "draft/x"]);
  }));

test("a journal of one piece is not written again at each opening", () =>
  onPhone(async (phone) => {
    const copy = await BackupCache.open("trial", false);
    await copy.keep([{ key: "draft/x", value: 1 }], []);
    const files = phone.caches.all.get("headcut-spare/trial")!;
    const before = [...files.keys()];
    await BackupCache.open("trial", false);
    assert.deepEqual([...files.keys()], before);
  }));

test("a journal that the page before is still putting together is read whole", () =>
  onPhone(async ({ caches }) => {
    const before = await BackupCache.open("trial", false);
    await before.keep([{ key: "self", value: { device: "d1" } }], []);
    await before.keep([{ key: "entry/1", value: { property: "p", text: "{}" } }], []);
    const { open } = caches;
    caches.open = async (name) => {
      caches.open = open;
      const cache = await caches.open(name),
        { keys } = cache;
      cache.keys = async () => {
        cache.keys = keys;
        const listed = await keys();
        await BackupCache.open("trial", false); // it writes the whole as one piece, and deletes both
        return listed;
      };
      return cache;
    };
    const next = await BackupCache.open("trial", false);
    const again = await BackupCache.open("trial", true);
    assert.deepEqual([...next.kept.keys(), ...again.kept.keys()], ["self", "entry/1", "self", "entry/1"]);
  }));
