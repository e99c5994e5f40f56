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
