// A device as it is built waits for its store no longer than a person does.

import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import { onPhone } from "../storage/phone.test.ts";
import { wired } from "./wiring.ts";

/** What has come of opening the store after so long. */
async function openedAfter(ms: number, globals: object = {}): Promise<string> {
  let came = "nothing";
  await onPhone(async () => {
    const clock = new Clock();
    await withGlobals({ ...clock.globals, ...globals }, async () => {
      wired()
        .openStore()
        .then(
          () => (came = "the store"),
          (error: Error) => (came = error.message),
        );
      await clock.pass(ms);
    });
  });
  return came;
}

test("a store that opens is given, and one that never does is told after a quarter of a minute", async () => {
  assert.equal(await openedAfter(1000), "the store");
  assert.equal(await openedAfter(20_000), "the store");
  const never = Object.assign(Object.create(IDBOpenDBRequest.prototype) as IDBOpenDBRequest, { addEventListener: () => {} });
  const stuck = { indexedDB: { open: () => never } };
  assert.equal(await openedAfter(14_999, stuck), "nothing");
  assert.equal(await openedAfter(15_000, stuck), "The browser does not open this phone's entries.");
});
