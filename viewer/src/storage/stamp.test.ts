import assert from "node:assert/strict";
import test from "node:test";
import { countsAsIs, nextStamp, noStamp } from "./stamp.ts";

test("a stamp is the clock's, or one more than the last where the clock is not beyond it", () => {
  for (const [last, nowMS, want] of [
    [noStamp, 0x19abc, "000000019abc0000"],
    ["000000019abb0009", 0x19abc, "000000019abc0000"],
    ["000000019abc0000", 0x19abc, "000000019abc0001"],
    ["000000019abcffff", 0x19abc, "000000019abd0000"],
    ["00000001ffff0003", 0x19abc, "00000001ffff0004"],
    [noStamp, -1, "0000000000000001"],
    [noStamp, 5.9, "0000000000050000"],
  ] as const)
    assert.equal(nextStamp(last, nowMS), want, `${nowMS} after ${last}`);
});

test("a stamp counts as it is up to five minutes ahead of its arrival", () => {
  const arrivedMS = 1_700_000_000_000;
  for (const [aheadMS, want] of [
    [-1e9, true],
    [300_000, true],
    [300_001, false],
  ] as const)
    assert.equal(countsAsIs(nextStamp(noStamp, arrivedMS + aheadMS), arrivedMS), want, `${aheadMS}`);
});
