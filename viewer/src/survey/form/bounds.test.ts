// Forms at their bounds: what is just refused, and which of two comes first.

import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { fieldNamed, kindNamed, type Field } from "../../base/kinds.ts";
import { metresBetween, metresPerDegree, moved } from "../../base/plane.ts";
import type { Fix } from "../../sensor/fix.ts";
import { besideOf, standsAt, tellable } from "./beside.ts";
import { within, wrongValue } from "./check.ts";
import { wrongPlace } from "./checkplace.ts";
import { emptyForm, filled, newestOf, newForm, rowsOf } from "./form.ts";
import { place, toStore, unplaced, worthOf } from "./position.ts";

const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  ...{ id, property: "p", fields, struck: false, clashes: [], saw: {}, stamp: "1", unsent: 0 },
  ...more,
});
const start = { lon: 146.5, lat: -20.25 };
const at = (eastM: number, northM: number): [number, number] => {
  const { lon, lat } = moved(start, eastM, northM);
  return [lon, lat];
};
const gully = (id: string, eastM: number, more: Partial<Feature> = {}, type = "LineString") => {
  const line = [at(eastM, -50), at(eastM, 50)];
  return feature(id, { kind: "thalweg", geometry: { type, coordinates: type === "LineString" ? line : [line] } }, more);
};

test("the nearest line is told where the fix tells it from the others", () => {
  const here = (accuracyM: number) => ({ ...start, accuracyM });
  const of = (...features: Feature[]) => besideOf(["thalweg"], features, start);
  const [a, b] = [gully("a", 4), gully("b", 25, {}, "MultiLineString")];
  const struck = gully("s", 1, { struck: true });
  const nowhere = [feature("n", { kind: "thalweg" }, { stamp: "1" }), feature("m", { kind: "thalweg" }, { stamp: "2" })];
  const other = feature("o", { kind: "track", geometry: gully("x", 0).fields["geometry"] });
  const point = feature("q", { kind: "thalweg", geometry: { type: "Point", coordinates: at(0, 0) } }, { stamp: "0" });
  assert.deepEqual(
    of(...nowhere, b, struck, other, a, point).map((x) => x.feature.id),
    ["a", "b", "m", "n", "q"],
  );
  assert.ok(Math.abs(of(a)[0]!.awayM! - 4) < 0.01);
  assert.equal("awayM" in of(...nowhere)[0]!, false);
  const told = (accuracyM: number, ...lines: Feature[]) => tellable(of(...lines), here(accuracyM))?.feature.id;
  assert.deepEqual([told(10.4, a, b), told(10.6, a, b)], ["a", undefined], "twice as near as the fix is good");
  assert.deepEqual(
    [told(3, gully("c", 9.99)), told(3, gully("c", 10.01)), told(12, gully("c", 11.9)), told(12, gully("c", 12.1))],
    ["c", undefined, "c", undefined],
  );
  const away = (...all: number[]) =>
    tellable(
      all.map((awayM) => ({ feature: a, awayM })),
      here(5),
    )?.awayM;
  assert.deepEqual([away(10), away(10.01), away(4, 14), away(4, 13.99)], [10, undefined, 4, undefined], "on the bound it is told");
  assert.equal(told(3, ...nowhere), undefined);
  assert.equal(tellable(of(a), undefined), undefined);
  assert.equal(standsAt(a), undefined, "its accuracy is not known");
  assert.deepEqual(standsAt(feature("p", { accuracyM: 3, geometry: { type: "Point", coordinates: [1, 2] } })), {
    lon: 1,
    lat: 2,
    accuracyM: 3,
  });
  assert.deepEqual(
    standsAt(
      feature("l", {
        accuracyM: 3,
        geometry: {
          type: "LineString",
          coordinates: [
            [1, 2],
            [9, 9],
            [3, 4],
          ],
        },
      }),
    ),
    { lon: 2, lat: 3, accuracyM: 3 },
  );
  assert.equal(standsAt(feature("p", { accuracyM: 3, geometry: { type: "Polygon", coordinates: [] } })), undefined);
});

test("values at the ends of what may be", () => {
  const number = { name: "x", label: "X", type: "number", min: 1, max: 2 } as Field;
  assert.deepEqual(
    [0.99, 1, 2, 2.01].map((v) => within(number, v)),
    [false, true, true, false],
  );
  assert.equal(within({ ...number, min: 3, max: 3 }, 99), true, "it has no bounds");
  const date = { ...number, type: "date" } as Field;
  assert.deepEqual(
    ["2026-11-01", "2026-11-30", "2026-11-31"].map((d) => wrongValue(date, d) === undefined),
    [true, true, false],
  );
  const rain = { ...number, type: "rain-rows" } as Field;
  const burst = { minutes: 5, intensityMmH: 150 };
  assert.deepEqual(
    [[burst], Array(1000).fill(burst), Array(1001).fill(burst), [{ ...burst, minutes: 0 }], [{ ...burst, intensityMmH: 0 }], {}].map(
      (v) => wrongValue(rain, v) === undefined,
    ),
    [true, true, false, false, false, false],
  );
  const rows = { ...number, type: "spacing-rows" } as Field;
  const row = { upToPct: 5, spacingM: 40 };
  const fine = (value: unknown) => wrongValue(rows, value) === undefined;
  assert.deepEqual(
    [fine(Array(100).fill(row)), fine(Array(101).fill(row)), fine([{ ...row, upToPct: 0 }]), fine([{ ...row, spacingM: 0 }])],
    [true, false, false, false],
  );
  const book = { ...number, type: "level-rows" } as Field;
  assert.deepEqual(
    [[[]], [null], Array(10_000).fill({}), Array(10_001).fill({})].map((v) => wrongValue(book, v) === undefined),
    [false, true, true, false],
  );
  const point = (...coordinates: unknown[]) => wrongPlace({ type: "Point", coordinates }) === undefined;
  assert.deepEqual(
    [point(180, 90), point(-180, -90), point(180.1, 0), point(0, 90.1), point(1, NaN), point(1, "2"), point(1)],
    [true, true, false, false, false, false, false],
  );
  const nested = (depth: number): unknown =>
    depth === 0 ? { type: "Point", coordinates: [1, 2] } : { type: "GeometryCollection", geometries: [nested(depth - 1)] };
  assert.deepEqual([wrongPlace(nested(8)), wrongPlace(nested(9)) === undefined], [undefined, false]);
  assert.ok(wrongPlace([]) && wrongPlace("x"));
  assert.match(wrongPlace({ type: "Polygon", coordinates: [[]] })!, /fewer than three/);
});

test("a form asks what is required first, then the kind's own, then name and notes", () => {
  const names = (kind: string, carried: string[] = []) => {
    const form = { ...emptyForm, carried: Object.fromEntries(carried.map((name) => [name, "from the last"])) };
    const { first, more } = rowsOf(kindNamed(kind), form);
    return [first.map((f) => f.name), more.map((f) => f.name)];
  };
  const [first, more] = names("check-dam", ["notes", "status", "material"]);
  assert.equal(first![0], "status");
  assert.deepEqual([first!.includes("material"), first![first!.length - 1]], [true, "notes"]);
  assert.ok(more!.includes("name") && more!.indexOf("name") > 0 && !more!.includes("status"));
  assert.deepEqual(names("peg"), [
    ["levelM", "chainageM"],
    ["name", "notes", "observedOn", "sensitive"],
  ]);
  assert.deepEqual(names("unsorted")[0], ["name"], "a kind that has nothing of its own");
});

test("of two of a kind the newest is carried on, and of two days the order is checked", () => {
  const dam = (id: string, stamp: string, fields: Fields = {}, more: Partial<Feature> = {}) =>
    feature(id, { kind: "check-dam", ...fields }, { stamp, ...more });
  assert.equal(newestOf("check-dam", [dam("a", "2"), dam("b", "2"), dam("c", "1"), dam("s", "9", {}, { struck: true })])!.id, "a");
  assert.deepEqual(newForm(kindNamed("check-dam"), [dam("a", "1", { material: "rock", crestHeightM: 0.5, name: "Dam 1" })]).answers, {
    material: "rock",
    crestHeightM: "0.5",
  });
  const headDepth = feature("h", { kind: "gully-head", headDepthM: 2, depthM: 1, dispersive: true });
  assert.deepEqual(
    newForm(kindNamed("gully-head"), [headDepth]).answers,
    { dispersive: "yes" },
    "what was measured of another is not this one's",
  );
  const mark = feature("m", { kind: "benchmark", heightM: 1.2, datum: "local" });
  assert.deepEqual(newForm(kindNamed("benchmark"), [mark]).answers, { datum: "local" });
  const wrong = (builtOn: string, failedOn: string) => filled(kindNamed("check-dam"), { builtOn, failedOn }, {}).wrong;
  assert.deepEqual([wrong("2026-03-01", "2026-03-01"), Object.keys(wrong("2026-03-02", "2026-03-01"))], [{}, ["failedOn"]]);
});

test("a position is as good as its accuracy says, to the metre", () => {
  const fix = (accuracyM: number, eastM = 0): Fix => ({ ...moved(start, eastM, 0), accuracyM, at: new Date(0), count: 1, takenMS: 0 });
  const most = fieldNamed("peg", "accuracyM").max!;
  assert.deepEqual(
    [10, 10.1, 50, 50.1, most, most + 1].map((m) => worthOf(fix(m))),
    ["good", "poor", "poor", "refused", "refused", "none"],
  );
  assert.equal(worthOf(null), "none");
  const stored = { ...unplaced, stored: fix(5), mean: fix(5) };
  assert.deepEqual([toStore({ ...stored, mean: fix(4.5) })?.accuracyM, toStore({ ...stored, mean: fix(4.51) })], [4.5, null]);
  assert.deepEqual(
    [toStore(unplaced), toStore({ ...unplaced, mean: fix(60) }), toStore({ ...unplaced, mean: fix(60), anyway: true })?.accuracyM],
    [null, null, 60],
  );
  assert.equal(toStore({ ...unplaced, mean: fix(most + 1), anyway: true }), null);
  const left = (accuracyM: number, eastM: number) =>
    place({ ...unplaced, stored: fix(accuracyM) }, { do: "mean", mean: fix(3, eastM) }).left;
  assert.deepEqual([left(2, 7.99), left(2, 8.01), left(6, 11.99), left(6, 12.01)], [false, true, false, true]);
  const far = fix(3, 20);
  const bound = { ...unplaced, stored: fix(metresBetween(start, far) / 2) };
  assert.equal(place(bound, { do: "mean", mean: far }).left, false, "just as far as it may be");
  assert.ok(metresPerDegree(0).east > 111_000);
});
