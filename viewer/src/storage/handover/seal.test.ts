// The seal of each entry in a file, checked by Node's own HMAC.

import assert from "node:assert/strict";
import { createHash, createHmac } from "node:crypto";
import test from "node:test";
import { withGlobals } from "../../base/globals.test.ts";
import { sealerOf } from "./seal.ts";

test("entries and begun properties are sealed under the hash of the phone's token", async () => {
  const sealer = (await sealerOf("a token"))!;
  const hmac = (text: string) => createHmac("sha256", createHash("sha256").update("a token").digest()).update(text).digest("hex");
  assert.equal(await sealer.entry("creek", '{"v":1}'), hmac('headcut hand-over 2\ncreek\n{"v":1}'));
  assert.equal(await sealer.begun("hut", "Old Hut"), hmac("headcut hand-over 2, begun\nhut\nOld Hut"));
});

test("without the token, or where the browser has no such arithmetic, nothing is sealed", async () => {
  assert.equal(await sealerOf(""), null);
  await withGlobals({ crypto: {} }, async () => assert.equal(await sealerOf("a token"), null));
});
