// When a device draws: before the screen is next drawn, and out of sight too.

import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import { whenDrawn } from "./device.ts";

test("what is to be drawn is drawn once, with the next picture, or soon where there is none", async () => {
  for (const [what, requestAnimationFrame, wantMS] of [
    ["in sight", undefined, 16],
    ["out of sight", () => 0, 100],
  ] as const) {
    const clock = new Clock();
    const began = clock.nowMS;
    const drawn: number[] = [];
    await withGlobals({ ...clock.globals, ...(requestAnimationFrame && { requestAnimationFrame }) }, async () => {
      whenDrawn(() => drawn.push(clock.nowMS - began));
      await clock.pass(1000);
    });
    assert.deepEqual(drawn, [wantMS], what);
  }
});
