// What is said and measured of a recording, and what is saved of it.

import assert from "node:assert/strict";
import test from "node:test";
import type { Fields } from "../../base/entry.ts";
import type { Model } from "../../compute/model.ts";
import { basisOf, finished, gapWords, mostSpots } from "./finished.ts";
import { measure, roughly } from "./measure.ts";
import { begun, type Spot } from "./recording.ts";
import { areaWords, closingWords, lengthWords, stateWords } from "./words.ts";
import { spot, of } from "./spots.test.ts";

test("what is said of a length, an area and a recording", () => {
  assert.deepEqual(
    [
      lengthWords({ lengthM: 12.4, proven: false }),
      lengthWords({ lengthM: 12.4, proven: true }),
      lengthWords({ lengthM: 132.41, lengthPlusMinusM: 6.1, proven: true }),
    ],
    ["about 12 m", "12 m", "132 ± 6 m"],
  );
  const areas: [number | undefined, number | undefined, string][] = [
    [undefined, undefined, ""],
    [2499, undefined, "2499 m²"],
    [2500, undefined, "0.25 ha"],
    [4512, 310, "0.45 ± 0.03 ha"],
    [790, 172, "790 ± 170 m²"],
  ];
  for (const [areaM2, areaPlusMinusM2, want] of areas)
    assert.equal(
      areaWords({
        lengthM: 1,
        proven: true,
        ...(areaM2 !== undefined && { areaM2 }),
        ...(areaPlusMinusM2 !== undefined && { areaPlusMinusM2 }),
      }),
      want,
    );
  assert.equal(closingWords({ lengthM: 100, proven: true }), "");
  assert.equal(closingWords({ lengthM: 100, proven: true, ifClosed: { lengthM: 90, proven: true } }), "", "it has no area");
  assert.match(
    closingWords({ lengthM: 100, proven: true, ifClosed: { lengthM: 90, areaM2: 5, proven: true } }),
    /^Joining the ends adds 0 m: /,
  );
  const one = [[spot(0, 0)]];
  const gap = { why: "paused", fromMS: 0, toMS: 1 } as const;
  const two = [[spot(0, 0)], [spot(9, 0)]];
  for (const [recording, want] of [
    [begun("line"), "Nothing recorded yet"],
    [of("line", one), "1 point"],
    [of("line", two, { gaps: [gap] }), "2 points, 1 gap"],
    [of("line", two, { gaps: [{ ...gap, why: "split" }] }), "2 points"],
    [of("line", one, { walk: "on" }), "Walking, 1 point"],
    [of("line", one, { walk: "paused" }), "Paused, 1 point"],
    [of("line", one, { walk: "on", pending: { why: "hidden", fromMS: 0 } }), "Not recording: waiting for a position"],
    [of("line", one, { walk: "on", pending: { why: "closed", fromMS: 0 } }), "Not recording: waiting for a position"],
    [of("line", one, { walk: "on", pending: { why: "paused", fromMS: 0 } }), "Walking, 1 point"],
    [of("area", [[spot(0, 0), spot(1, 0), spot(1, 1)]], { closed: true }), "Closed, 3 points"],
  ] as const)
    assert.equal(stateWords(recording), want);
  assert.match(
    gapWords({ why: "hidden", fromMS: 100_000, toMS: 219_999 }, 12),
    /^Gap of 12 m: not recorded from \d\d:\d\d:\d\d to \d\d:\d\d:\d\d \(the page was hidden\)\.$/,
  );
  assert.match(gapWords({ why: "no-fix", fromMS: 100_000, toMS: 220_000 }, 12), /from \d\d:\d\d to \d\d:\d\d \(no GPS position\)/);
});

test("what is measured: each piece, an area from three points on, and what a refusal leaves", async () => {
  const square = [spot(0, 0), spot(30, 0), spot(30, 40)];
  assert.ok(Math.abs(roughly(of("line", [square])).lengthM - 70) < 0.01);
  assert.ok(Math.abs(roughly(of("area", [square], { closed: true })).lengthM - 120) < 0.01);
  const asking = (answer: (name: string, input: { positions?: unknown[]; accuracyM?: number }) => unknown) => {
    const asked: [string, number | undefined, number | undefined][] = [];
    const model = {
      compute: async (name: string, input: { positions?: unknown[]; accuracyM?: number }) => {
        asked.push([name, input.positions?.length, input.accuracyM]);
        return answer(name, input);
      },
    } as unknown as Model;
    return { model, asked };
  };
  const lengths = asking((_, { positions: p }) => ({ lengthM: 10 * (p!.length - 1), plusMinusM: p!.length === 2 ? 3 : 4 }));
  const broken = await measure(lengths.model, of("line", [square.slice(0, 2), [spot(9, 9)], square]));
  assert.deepEqual(broken, { lengthM: 30, lengthPlusMinusM: 5, proven: true });
  assert.deepEqual(lengths.asked, [
    ["line", 2, 4],
    ["line", 3, 4],
  ]);
  const unsure = asking((_, { positions: p }) => ({ lengthM: 10, ...(p!.length === 2 && { plusMinusM: 3 }) }));
  assert.equal(
    (await measure(unsure.model, of("line", [square.slice(0, 2), square]))).lengthPlusMinusM,
    undefined,
    "of one piece nobody knows",
  );
  assert.deepEqual(await measure(unsure.model, begun("line")), { lengthM: 0, proven: true });
  for (const [accuracyM, want] of [
    [0, undefined],
    [10_000, 10_000],
    [10_001, undefined],
  ] as const) {
    const one = asking(() => ({ lengthM: 1 }));
    await measure(one.model, of("line", [[spot(0, 0, { accuracyM }), spot(1, 0, { accuracyM })]]));
    assert.equal(one.asked[0]![2], want, `${accuracyM}`);
  }
  const two = asking((name) => (name === "line" ? { lengthM: 30 } : { perimeterM: 1, areaM2: 1 }));
  assert.equal((await measure(two.model, of("area", [square.slice(0, 2)]))).ifClosed, undefined);
  assert.equal((await measure(two.model, of("area", [square]))).ifClosed?.areaM2, 1);
  const problem = { reason: "the boundary crosses itself", path: "rings[0]" };
  const refusing = asking((name) => {
    if (name === "area") throw problem;
    return { lengthM: 70 };
  });
  assert.deepEqual(await measure(refusing.model, of("area", [square], { closed: true })), { lengthM: 70, proven: true, problem });
  for (const why of [null, "no", { reason: "not here" }, { path: "x" }]) {
    const away = asking(() => {
      throw why;
    });
    await assert.rejects(measure(away.model, of("area", [square], { closed: true })), (e) => e === why);
  }
});

test("what is saved of a recording tells how it came", () => {
  assert.deepEqual(
    [
      basisOf([spot(0, 0), spot(1, 1, { how: "stood" })]),
      basisOf([spot(0, 0, { how: "tapped" })]),
      basisOf([spot(0, 0, { snappedTo: "g" })]),
    ],
    ["GPS", "drawn on the map", "drawn on the map"],
  );
  const [plain] = finished(of("line", [[spot(0, 0), spot(9, 0, { heightM: 211.239 })]]), { kind: "fence" }, "a phone");
  assert.deepEqual([plain!["gpsHeightsM"], plain!["kind"]], [[null, 211.24], "fence"]);
  const receiver = plain!["receiver"] as Fields;
  assert.deepEqual([receiver["platform"], "gaps" in receiver, "joins" in receiver, "lone" in receiver], ["a phone", false, false, false]);
  assert.ok(!("gpsHeightsM" in finished(of("line", [[spot(0, 0), spot(9, 0)]]), {}, "")[0]!));
  assert.deepEqual(finished(of("line", [[spot(0, 0)]]), {}, ""), []);
  const split = { why: "split", fromMS: 0, toMS: 0 } as const;
  const join = (fromMS: number, toMS: number) => ({ why: "no-fix" as const, fromMS, toMS, lengthM: 3 });
  const halves = finished(
    of(
      "line",
      [
        [spot(0, 0, { atMS: 0 }), spot(9, 0, { atMS: 10_000 })],
        [spot(9, 0, { atMS: 10_000 }), spot(20, 0, { atMS: 20_000 })],
      ],
      {
        gaps: [split],
        joins: [join(0, 10_000), join(10_000, 20_000), join(12_000, 25_000)],
      },
    ),
    {},
    "",
  ).map((f) => ((f["receiver"] as Fields)["joins"] as readonly { from: string }[] | undefined)?.length);
  assert.deepEqual(halves, [1, 1], "each half has the joins that lie in it");
});

test("lines are cut where an entry is full, and what is no line is told beside them", () => {
  const many = (n: number) => Array.from({ length: n }, (_, i) => spot(0, 3 * i, { atMS: i * 1000 }));
  const gap = { why: "paused", fromMS: 0, toMS: 1 } as const;
  const sizes = (...pieces: readonly (readonly Spot[])[]) =>
    finished(of("line", pieces, { gaps: pieces.slice(1).map(() => gap) }), {}, "").map((f) => {
      const { type, coordinates } = f["geometry"] as { type: string; coordinates: readonly (readonly unknown[])[] };
      return type === "LineString" ? coordinates.length : coordinates.map((line) => line.length);
    });
  assert.deepEqual(sizes(many(mostSpots)), [mostSpots]);
  assert.deepEqual(sizes(many(mostSpots + 1)), [mostSpots, 2]);
  assert.deepEqual(sizes(many(1000), many(2000)), [[1000, 2000]]);
  assert.deepEqual(sizes(many(1000), many(2001)), [1000, 2001]);
  assert.deepEqual(sizes(many(5), many(1)), [5]);
  const [broken] = finished(of("line", [many(5), many(1)], { gaps: [gap] }), {}, "");
  assert.equal(((broken!["receiver"] as Fields)["lone"] as unknown[]).length, 1);
  const ring = (n: number) => finished(of("area", [many(n)], { closed: true }), {}, "")[0]!;
  const corners = (f: Fields) => (f["geometry"] as { coordinates: unknown[][] }).coordinates[0]!.length;
  assert.deepEqual([corners(ring(mostSpots)), "keptOneIn" in (ring(mostSpots)["receiver"] as Fields)], [mostSpots + 1, false]);
  const thinned = ring(mostSpots + 1)["receiver"] as Fields;
  assert.deepEqual([corners(ring(mostSpots + 1)), thinned["walkedPoints"], thinned["keptOneIn"]], [mostSpots / 2 + 2, mostSpots + 1, 2]);
});
