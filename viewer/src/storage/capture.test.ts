// What an entry says of the clocks when it was recorded.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { onPhone, property, read, self } from "./phone.test.ts";

test("an entry holds the clock that nobody sets, from when the phone was started", () =>
  onPhone((phone) =>
    withGlobals({ performance: { timeOrigin: 1_700_000_000_000, now: () => 234.6 } }, async () => {
      const store = await phone.open();
      await store.enrol(self("d1"));
      await store.capture(property, [{ feature: "a", set: { kind: "peg" } }]);
      const { entries } = await store.outbox.all();
      assert.equal(read(entries[0]!.text).steadyMS, 1_700_000_000_235);
    }),
  ));
