import assert from "node:assert/strict";
import test from "node:test";
import type { Fix } from "../../sensor/fix.ts";
import { place, placeFields, toStore, toStoreNow, unplaced, worthOf, type Placed, type Placing } from "./position.ts";

const fix = (accuracyM: number, lon = 146.5, lat = -20.25, more: Partial<Fix> = {}): Fix => ({
  lon,
  lat,
  accuracyM,
  at: new Date(0),
  count: 1,
  takenMS: 0,
  ...more,
});
const after = (...actions: Placed[]): Placing => actions.reduce(place, unplaced);
const mean = (f: Fix): Placed => ({ do: "mean", mean: f });

test("a position is judged by its accuracy", () => {
  const cases = [
    [null, "none"],
    [fix(3), "good"],
    [fix(10), "good"],
    [fix(10.1), "poor"],
    [fix(50), "poor"],
    [fix(51), "refused"],
    [fix(3000), "refused"],
  ] as const;
  for (const [f, want] of cases) assert.equal(worthOf(f), want, `${f?.accuracyM}`);
});

test("what is stored is the best mean, and a rough one only when the officer says so", () => {
  assert.equal(toStore(unplaced), null);
  assert.equal(toStore(after(mean(fix(4))))?.accuracyM, 4);
  assert.equal(toStore(after(mean(fix(12))))?.accuracyM, 12, "a poor one is stored, with its accuracy");
  assert.equal(toStore(after(mean(fix(80)))), null);
  assert.equal(toStore(after(mean(fix(80)), { do: "anyway" }))?.accuracyM, 80);
});

test("a mean that is hardly better is not worth an entry", () => {
  const stored = [mean(fix(6)), { do: "stored", fix: fix(6) }] as const;
  assert.equal(toStore(after(...stored)), null);
  assert.equal(toStore(after(...stored, mean(fix(5.6)))), null);
  assert.equal(toStore(after(...stored, mean(fix(4))))?.accuracyM, 4);
});

test("a phone that is carried off does not drag the point along", () => {
  const farAway = fix(2, 146.5, -20.2505); // 55 m south
  const carried = after(mean(fix(6)), { do: "stored", fix: fix(6) }, mean(farAway), mean(fix(1)));
  assert.equal(carried.left, true);
  assert.equal(toStore(carried), null);
  const near = after(mean(fix(6)), { do: "stored", fix: fix(6) }, mean(fix(3, 146.50003))); // 3 m east
  assert.equal(near.left, false);
  assert.equal(toStore(near)?.accuracyM, 3);
});

test("a position saved as GPS jumped follows the jump", () => {
  const stored = fix(4),
    jumped = fix(4, 146.5, -20.2505, { jumped: true }); // 55 m south
  const followed = after(mean(stored), { do: "stored", fix: stored }, mean(jumped));
  assert.deepEqual([followed.left, Math.round(followed.jumpedM!)], [false, 55]);
  assert.equal(toStoreNow(followed), jumped, "it does not wait for the officer's save");
  const again = [{ do: "stored", fix: jumped } as const, mean(fix(4, 146.5, -20.25051))].reduce(place, followed);
  assert.deepEqual([toStoreNow(again), again.left], [null, false]);
  assert.equal([mean(fix(4, 146.5, -20.251))].reduce(place, again).left, true, "from there she can be carried off as before");
});

test("nothing but a first or a corrected position is stored before the officer saves", () => {
  assert.equal(toStoreNow(unplaced), null);
  assert.equal(toStoreNow(after(mean(fix(4))))?.accuracyM, 4);
  const better = after(mean(fix(6)), { do: "stored", fix: fix(6) }, mean(fix(4)));
  assert.deepEqual([toStore(better)?.accuracyM, toStoreNow(better)], [4, null]);
});

test("a place is stored with its accuracy, and the height as a label only", () => {
  assert.deepEqual(placeFields(fix(4.04, 146.5000000049, -20.25)), {
    geometry: { type: "Point", coordinates: [146.5, -20.25] },
    accuracyM: 4,
    positionBasis: "GPS",
  });
  assert.deepEqual(placeFields(fix(4, 1, 2, { heightM: 312.345 })), {
    geometry: { type: "Point", coordinates: [1, 2] },
    accuracyM: 4,
    positionBasis: "GPS",
    gpsHeightM: 312.3,
  });
});
