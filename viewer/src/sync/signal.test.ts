import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import { Signal } from "./signal.ts";

test("who waits is woken by a ring or after a while, and a ring for nobody is remembered once, while it is fresh", () => {
  const clock = new Clock();
  return withGlobals(clock.globals, async () => {
    const signal = new Signal();
    /** How long was waited, of at most a minute. */
    const waitedMS = async (wait: Promise<void>, meanwhile = () => {}) => {
      const began = clock.nowMS;
      let ended: number | undefined;
      void wait.then(() => (ended = clock.nowMS));
      await clock.pass(10);
      meanwhile();
      await clock.pass(59_990);
      return ended === undefined ? Infinity : ended - began;
    };
    assert.equal(await waitedMS(signal.wait(1_000)), 1_000);
    assert.equal(await waitedMS(signal.wait(1_000), () => signal.ring()), 10);
    assert.equal(await waitedMS(signal.wait(), () => signal.ring()), 10);
    signal.ring();
    signal.ring();
    assert.equal(await waitedMS(signal.wait(1_000)), 0);
    assert.equal(await waitedMS(signal.wait(1_000)), 1_000, "once");
    for (const [agoMS, want] of [
      [4_999, 0],
      [5_000, 1_000],
    ] as const) {
      signal.ring();
      await clock.pass(agoMS);
      assert.equal(await waitedMS(signal.wait(1_000, 5_000)), want);
    }
    const first = waitedMS(signal.wait(20_000), () => signal.ring());
    assert.equal(await first, 10);
    assert.equal(await waitedMS(signal.wait()), Infinity);
  });
});
