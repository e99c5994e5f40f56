import assert from "node:assert/strict";
import test from "node:test";
import { Reconnect } from "./reconnect.ts";

const broken = { upMS: 1_000, serverGone: false };

test("waits grow to a minute, and start again after a minute up", () => {
  const r = new Reconnect(() => 1);
  for (const [k, wantS] of [1, 2, 4, 8, 16, 32, 60, 60, 60].entries()) {
    r.ended(broken);
    assert.equal(r.nextMS(null), wantS * 1000, `the longest wait after ${k + 1} failures`);
  }
  r.ended({ upMS: 60_000, serverGone: false });
  assert.equal(r.nextMS(null), 1000, "the longest wait after a minute up");
});

test("what the server asks for comes first, within reason", () => {
  const least = new Reconnect(() => 0),
    most = new Reconnect(() => 1);
  assert.equal(least.nextMS({ type: "later", afterMS: 5000, withinMS: 1000 }), 5000);
  assert.equal(most.nextMS({ type: "later", afterMS: 5000, withinMS: 1000 }), 6000);
  assert.equal(most.nextMS({ type: "later", afterMS: 1e18, withinMS: -1 }), 3_600_000);
});

/** A generator with a seed, so that the test is the same every time (mulberry32). */
function chanceOf(seed: number): () => number {
  return () => {
    seed = (seed + 0x6d2b79f5) | 0;
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

for (const downS of [0, 3, 40]) {
  test(`5,000 phones that lose the server together come back apart when it is down for ${downS} s`, () => {
    const chance = chanceOf(13);
    const perSecond: number[] = Array(60).fill(0);
    for (let i = 0; i < 5000; i++) {
      const r = new Reconnect(chance);
      r.ended({ upMS: 8 * 3_600_000, serverGone: true });
      for (let now = r.nextMS(null); now < 60_000; now += r.nextMS(null)) {
        perSecond[Math.floor(now / 1000)]!++;
        if (now >= downS * 1000) break;
        r.ended({ upMS: 0, serverGone: false });
      }
    }
    const mean = perSecond.reduce((a, b) => a + b) / 60;
    assert.ok(Math.max(...perSecond) <= 3 * mean, `peak ${Math.max(...perSecond)} a second, mean ${mean.toFixed(0)}: ${perSecond}`);
  });
}
