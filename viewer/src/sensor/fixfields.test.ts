// What is kept of the fix that placed an item.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import type { RawFix } from "./fix.ts";
import { meanAccuracyM, placed } from "./fixfields.ts";

test("a fix is kept with its accuracy and as the receiver gave it; a height only where it has one", () =>
  withGlobals({ navigator: { userAgent: "phone" } }, () => {
    const fix = { lon: 146.1234567894, lat: -20.25, accuracyM: 3.456, at: new Date(Date.UTC(2026, 10, 24)), count: 7, takenMS: 0 };
    const newest: RawFix = { lon: 146, lat: -20, accuracyM: 4, atMS: 5 };
    const { receiver, ...fields } = placed(fix);
    assert.deepEqual(fields, {
      geometry: { type: "Point", coordinates: [146.123456789, -20.25] },
      accuracyM: 3.46,
      positionBasis: "GPS",
    });
    const kept = receiver as { readonly [name: string]: unknown };
    assert.deepEqual(
      [kept["fixes"], kept["at"], kept["heightDatum"], kept["platform"], "newest" in kept],
      [7, "2026-11-24T00:00:00.000Z", "unknown", "phone", false],
    );
    assert.equal(placed({ ...fix, heightM: 310.126 })["gpsHeightM"], 310.13);
    assert.deepEqual((placed({ ...fix, newest })["receiver"] as typeof kept)["newest"], newest);
  }));

test("positions of different worth are as good as the root of their mean square", () => {
  assert.equal(meanAccuracyM([3, 4]), 3.54);
  assert.equal(meanAccuracyM([5]), 5);
});
