// Recording and reshaping at their bounds: what lies just within reach, touches without
// crossing, or is not known.

import assert from "node:assert/strict";
import test from "node:test";
import { onPhone, property, until } from "../../storage/phone.test.ts";
import type { Feature, Fields } from "../../base/entry.ts";
import type { Model } from "../../compute/model.ts";
import { metresBetween, moved, type Place } from "../../base/plane.ts";
import { crossing } from "./crossing.ts";
import { dragOf, fingerPx } from "./drag.ts";
import { begunLines, begunShapes, draftKey, keptRecording, LineWriter } from "./drafts.ts";
import { basisOf, finished, gapWords, mostSpots } from "./finished.ts";
import { measure, roughly } from "./measure.ts";
import { pointNear, sideAfter, sideNear } from "./nearby.ts";
import { begun, chosenSpot, lastSpot, reduce, spotsOf, type Action, type Recording, type Spot } from "./recording.ts";
import { cannotSave, reshaped, shapeOf } from "./reshape.ts";
import { snap, thalwegs } from "./snap.ts";
import { drawnPlusMinusM } from "./tapped.ts";
import { areaWords, closingWords, lengthWords, stateWords } from "./words.ts";

const start = { lon: 146.3, lat: -25.5 };
const at = (eastM: number, northM: number): Place => moved(start, eastM, northM);
const spot = (eastM: number, northM: number, more: Partial<Spot> = {}): Spot => ({
  ...at(eastM, northM),
  accuracyM: 4,
  atMS: 0,
  how: "walked",
  ...more,
});
const of = (shape: "line" | "area", pieces: readonly (readonly Spot[])[], more: Partial<Recording> = {}): Recording => ({
  ...begun(shape),
  pieces,
  ...more,
});
const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  ...{ id, property: "p", fields, struck: false, clashes: [], saw: {}, stamp: "1", unsent: 0 },
  ...more,
});
const positions = (...places: readonly Place[]) => places.map(({ lon, lat }) => [lon, lat] as const);

test("a boundary that touches itself does not cross itself", () => {
  const { lon, lat } = start;
  const to = (east: number, north: number): Place => ({ lon: lon + east / 1024, lat: lat + north / 1024 }); // exact in binary
  for (const [name, boundary, crosses] of [
    ["its first corner lies on a side", [to(0, 0), to(8, 16), to(-8, 0), to(8, 0)], false],
    ["a corner lies on its first side", [to(0, 0), to(10, 0), to(8, 5), to(5, 0), to(2, 5)], false],
    ["its second corner lies on a later side", [to(0, 0), to(5, 8), to(9, 4), to(9, 8), to(2, 8)], false],
    ["a side goes through another", [to(0, 0), to(5, 8), to(9, 4), to(9, 7), to(2, 7)], true],
    ["a square", [to(0, 0), to(8, 0), to(8, 8), to(0, 8)], false],
    ["a bow tie", [to(0, 0), to(8, 8), to(8, 0), to(0, 8)], true],
    ["a bow tie over its closing side", [to(0, 0), to(8, 0), to(0, 8), to(8, 8)], true],
    ["three corners", [to(0, 0), to(8, 8), to(8, 0)], false],
    ["none", [], false],
  ] as const)
    assert.equal(crossing(boundary) !== null, crosses, name);
  const middle = crossing([at(0, 0), at(10, 10), at(10, 0), at(0, 10)])!;
  assert.ok(metresBetween(middle, at(5, 5)) < 0.01, "where its sides meet");
});

test("what is within a finger's reach, and what just is not", () => {
  const line = of("line", [
    [spot(0, 0), spot(0, 100)],
    [spot(50, 0), spot(50, 100)],
  ]);
  const reachM = metresBetween(at(0, 0), at(0, -5));
  assert.deepEqual(pointNear(line, at(0, -5), reachM), { piece: 0, spot: 0 });
  assert.equal(pointNear(line, at(0, -5), reachM - 0.001), null);
  assert.deepEqual(pointNear(line, at(49, 99), 80), { piece: 1, spot: 1 }, "the nearest of several");
  assert.deepEqual(pointNear(of("line", [[spot(0, 0), spot(0, 0)]]), at(0, 0), 1), { piece: 0, spot: 1 }, "the later of two in one place");
  assert.equal(sideNear(line, at(4.9, 50), 5)!.piece, 0);
  assert.equal(sideNear(line, at(5.1, 50), 5), null);
  assert.deepEqual([sideNear(line, at(46, 50), 50)!.piece, sideNear(line, at(46, 50), 50)!.after], [1, 0]);
  assert.equal(sideNear(line, at(0, 103), 5)!.after, 0, "beyond its end still the last side");
  assert.equal(sideNear(of("line", [[spot(0, 0)]]), at(0, 0), 5), null, "one point has no side");
  const ring = of("area", [[spot(0, 0), spot(0, 100), spot(100, 100)]], { closed: true });
  assert.equal(sideNear(ring, at(50, 50), 5)!.after, 2, "the side that closes it");
  assert.equal(sideNear({ ...ring, closed: false }, at(50, 50), 5), null);
  assert.equal(sideNear(of("area", [[spot(0, 0), spot(0, 100)]], { closed: true }), at(0, 50), 5)!.after, 0);
  const round = sideAfter(ring, { piece: 0, spot: 2 })!;
  assert.ok(round.after === 2 && metresBetween(round.at, at(50, 50)) < 0.01);
  assert.ok(metresBetween(sideAfter(line, { piece: 1, spot: 0 })!.at, at(50, 50)) < 0.01);
  for (const none of [
    { piece: 0, spot: 1 },
    { piece: 7, spot: 0 },
    { piece: 0, spot: 7 },
  ])
    assert.equal(sideAfter(line, none), null);
  assert.equal(sideAfter(of("area", [[spot(0, 0)]], { closed: true }), { piece: 0, spot: 0 }), null);
});

test("a finger takes up nothing during a walk, and a drag that goes nowhere chooses nothing", () => {
  const acts: Action[] = [];
  let recording = of("line", [[spot(0, 0), spot(0, 100)]], { walk: "on" });
  const drag = dragOf(() => ({ recording, act: (a) => void acts.push(a), accuracyM: (_, perPx) => perPx }));
  assert.equal(drag.grab(at(0, 0), 1), false);
  recording = { ...recording, walk: "paused" };
  assert.equal(drag.grab(at(0, fingerPx - 0.1), 1), true);
  drag.drop();
  assert.equal(drag.grab(at(0, -fingerPx - 0.1), 1), false);
  drag.drag(at(9, 9), 1);
  assert.equal(acts.length, 0, "nothing is held");
  assert.equal(drag.grab(at(0, 1), 1), true);
  drag.drag(at(3, 3), 2);
  drag.drop();
  drag.drop();
  assert.deepEqual(
    acts.map((a) => [a.do, a.do === "move" && a.goesOn, a.do === "move" && a.accuracyM]),
    [
      ["move", false, 4],
      ["move", true, 2],
      ["choose", false, false],
    ],
  );
});

test("a place is put on the nearest thalweg within reach, on one of its own positions before a place between", () => {
  const line = (id: string, ...places: readonly Place[]) =>
    feature(id, { kind: "thalweg", geometry: { type: "LineString", coordinates: positions(...places) } });
  const g = line("g", at(0, 0), at(0, 100)),
    h = line("h", at(12, 0), at(12, 100));
  assert.deepEqual(
    thalwegs([
      g,
      feature("s", g.fields, { struck: true }),
      feature("f", { ...g.fields, kind: "fence" }),
      feature("n", { kind: "thalweg" }),
    ]).map((t) => t.id),
    ["g"],
  );
  const all = thalwegs([g, h]);
  const on = (eastM: number, northM: number, reachM: number) => {
    const found = snap(all, at(eastM, northM), reachM);
    return found && [found.thalweg, Math.round(metresBetween(found.at, at(0, 0)) * 10) / 10, Math.round(found.offM * 10) / 10];
  };
  assert.deepEqual(on(3, 50, 3.01), ["g", 50, 3]);
  assert.equal(on(3, 50, 2.99), null);
  assert.deepEqual(on(7, 50, 20)?.[0], "h");
  assert.deepEqual(on(5, 50, 20)?.[0], "g");
  assert.deepEqual(on(0, 4, 8.1), ["g", 0, 4], "its end, within half the reach");
  assert.deepEqual(on(0, 4, 7.9), ["g", 4, 0]);
  assert.deepEqual(on(0, 97, 10), ["g", 100, 3]);
  const short = thalwegs([line("k", at(0, 0), at(0, 6))]);
  assert.ok(metresBetween(snap(short, at(0, 4), 20)!.at, at(0, 6)) < 0.01, "the nearer of two");
});

test("how good a tapped place is: the aim, and what there was to aim by", () => {
  const peg = (m: number, accuracyM?: number) =>
    feature("p", {
      kind: "peg",
      geometry: { type: "Point", coordinates: positions(at(0, m))[0]! },
      ...(accuracyM !== undefined && { accuracyM }),
    });
  const fix = { accuracyM: 12 } as Parameters<typeof drawnPlusMinusM>[3];
  const at0 = at(0, 0);
  for (const [name, perPx, features, by, want] of [
    ["nothing", 1, [], null, 8],
    ["a close map", 0.01, [], null, 0.5],
    ["the phone", 1, [], fix, Math.hypot(8, 12)],
    ["an item beside", 1, [peg(199, 3)], fix, Math.hypot(8, 3)],
    ["an item that is too far", 1, [peg(201, 3)], fix, Math.hypot(8, 12)],
    ["an item that does not say", 1, [peg(5)], fix, Math.hypot(8, 12)],
  ] as const)
    assert.ok(Math.abs(drawnPlusMinusM(at0, perPx, features, by) - want) < 1e-9, name);
});

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
    gapWords({ why: "hidden", fromMS: 0, toMS: 119_999 }, 12),
    /^Gap of 12 m: not recorded from \d\d:\d\d:\d\d to \d\d:\d\d:\d\d \(the page was hidden\)\.$/,
  );
  assert.match(gapWords({ why: "no-fix", fromMS: 0, toMS: 120_000 }, 12), /from \d\d:\d\d to \d\d:\d\d \(no GPS position\)/);
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

test("how each point of a saved shape came, as far as it is known", () => {
  const line = (more: Fields): Fields => ({
    kind: "fence",
    geometry: { type: "LineString", coordinates: positions(at(0, 0), at(0, 9), at(0, 18)) },
    ...more,
  });
  const hows = (fields: Fields) => spotsOf(shapeOf(feature("f", fields))!.recording).map((s) => s.how);
  const receiver = { from: "2026-11-25T00:00:00.000Z" };
  assert.deepEqual(hows(line({ receiver: { ...receiver, how: ["walked", "stood", "tapped"] }, positionBasis: "GPS" })), [
    "walked",
    "stood",
    "tapped",
  ]);
  assert.deepEqual(hows(line({ receiver: { ...receiver, how: ["walked", "snapped", "else"] }, positionBasis: "drawn on the map" })), [
    "walked",
    "tapped",
    "tapped",
  ]);
  assert.deepEqual(hows(line({ positionBasis: "drawn on the map" })), ["tapped", "tapped", "tapped"]);
  assert.deepEqual(hows(line({})), ["stood", "stood", "stood"]);
  const snapped = spotsOf(shapeOf(feature("f", line({ receiver: { how: ["walked", "snapped", "walked"] } })))!.recording);
  assert.deepEqual(
    snapped.map((s) => s.snappedTo !== undefined),
    [false, true, false],
  );
  const timed = spotsOf(shapeOf(feature("f", line({ receiver: { ...receiver, secondsAfter: [0, 2.5, null] } })))!.recording);
  assert.deepEqual(
    timed.map((s) => s.atMS - Date.parse(receiver.from)),
    [0, 2500, 0],
  );
  assert.deepEqual(
    spotsOf(shapeOf(feature("f", line({ accuracyM: 3, receiver: { accuraciesM: [1, 2] } })))!.recording).map((s) => s.accuracyM),
    [3, 3, 3],
    "a list of other points",
  );
  assert.deepEqual(
    spotsOf(shapeOf(feature("f", line({})))!.recording).map((s) => [s.accuracyM, s.heightM]),
    [
      [0, undefined],
      [0, undefined],
      [0, undefined],
    ],
  );
  const point = { kind: "peg", geometry: { type: "Point", coordinates: positions(at(0, 0))[0] }, gpsHeightM: 212 };
  assert.equal(spotsOf(shapeOf(feature("p", point))!.recording)[0]!.heightM, 212);
  assert.equal(spotsOf(shapeOf(feature("f", line({ gpsHeightM: 212 })))!.recording)[0]!.heightM, undefined, "one height is of one point");
  const pieces = {
    kind: "fence",
    geometry: {
      type: "MultiLineString",
      coordinates: [positions(at(0, 0), at(0, 9)), positions(at(0, 18), at(0, 27)), positions(at(9, 0), at(9, 9))],
    },
  };
  const gaps = [{ why: "hidden", from: "2026-11-25T00:00:00.000Z", to: "2026-11-25T00:01:00.000Z" }];
  assert.deepEqual(shapeOf(feature("f", { ...pieces, receiver: { gaps } }))!.recording.gaps, [
    { why: "hidden", fromMS: Date.parse(gaps[0]!.from), toMS: Date.parse(gaps[0]!.to) },
    { why: "paused", fromMS: 0, toMS: 0 },
  ]);
  assert.equal(shapeOf(feature("f", { ...pieces, receiver: { gaps: "x" } }))!.recording.gaps.length, 2);
});

test("a shape needs enough points, and keeps of each what is still known", () => {
  const shape = (type: "Point" | "LineString" | "MultiLineString" | "Polygon", ...pieces: readonly (readonly Spot[])[]) => ({
    type,
    recording: of(type === "Polygon" ? "area" : "line", pieces),
    holes: [],
    known: [],
  });
  const some = (n: number) => Array.from({ length: n }, (_, i) => spot(0, 9 * i));
  for (const [name, of, wrong] of [
    ["a point", shape("Point", some(1)), ""],
    ["a line of one", shape("LineString", some(1)), "Each piece of a line needs two points. Add one."],
    ["a line of two", shape("LineString", some(2)), ""],
    ["a piece of one", shape("MultiLineString", some(2), some(1)), "Each piece of a line needs two points. Add one."],
    ["an area of two", shape("Polygon", some(2)), "An area needs three points. Add one."],
    ["an area of three", shape("Polygon", some(3)), ""],
  ] as const)
    assert.equal(cannotSave(of), wrong, name);
  const known = reshaped(shape("LineString", [spot(0, 0, { accuracyM: 3 }), spot(0, 9, { accuracyM: 4 })]), {});
  assert.equal(known["accuracyM"], 3.54, "the root of their mean square");
  assert.deepEqual(Object.keys(known).sort(), ["accuracyM", "geometry", "positionBasis"]);
  assert.ok(!("accuracyM" in reshaped(shape("LineString", [spot(0, 0, { accuracyM: 0 }), spot(0, 9)]), {})), "of one point nobody knows");
  const ring = reshaped(
    shape("Polygon", [spot(0, 0, { accuracyM: 3, heightM: 1 }), spot(0, 9, { accuracyM: 4 }), spot(9, 9, { accuracyM: 4 })]),
    { gpsHeightsM: [1, 2, 3, 1], gpsHeightM: 2 },
  );
  assert.deepEqual(
    [ring["accuracyM"], ring["gpsHeightsM"], ring["gpsHeightM"]],
    [3.54, [1, null, null, 1], null],
    "a ring tells its first point twice",
  );
});

test("a recording changes by what is chosen, and by nothing else", () => {
  const line = of("line", [[spot(0, 0), spot(0, 9), spot(0, 18)]]);
  const chosen = { piece: 0, spot: 1 };
  const on = (r: Recording, ...acts: Action[]) => acts.reduce(reduce, r);
  for (const act of [{ do: "nudge", eastM: 1, northM: 1 }, { do: "take-out" }, { do: "split" }] as const) {
    assert.equal(on(line, act), line, act.do);
    assert.equal(on({ ...line, chosen: { piece: 0, spot: 7 } }, act).before.length, 0, act.do);
  }
  const nudged = chosenSpot(on({ ...line, chosen }, { do: "nudge", eastM: 2, northM: -3 }))!;
  assert.ok(metresBetween(nudged, at(2, 6)) < 0.01 && nudged.how === "tapped");
  for (const ends of [0, 2])
    assert.equal(on({ ...line, chosen: { piece: 0, spot: ends } }, { do: "split" }).pieces.length, 1, "at an end nothing is split");
  assert.equal(on({ ...line, chosen }, { do: "split" }).pieces.length, 2);
  assert.equal(on({ ...line, shape: "area", chosen }, { do: "split" }).pieces.length, 1);
  const into = (piece: number, after: number) => on(line, { do: "insert", piece, after, spot: spot(5, 5) });
  assert.deepEqual([into(0, -1), into(0, 3), into(1, 0)], [line, line, line]);
  assert.deepEqual([spotsOf(into(0, 0)).length, into(0, 2).chosen], [4, { piece: 0, spot: 3 }]);
  const ring = of("area", line.pieces);
  assert.equal(on(ring, { do: "close" }).closed, true);
  assert.equal(on(line, { do: "close" }), line);
  assert.equal(on(of("area", [line.pieces[0]!.slice(0, 2)]), { do: "close" }).closed, false);
  assert.equal(on({ ...ring, gaps: [{ why: "paused", fromMS: 0, toMS: 0 }] }, { do: "close" }).closed, false);
  const closed = on(ring, { do: "close" });
  assert.equal(on(closed, { do: "add", spot: spot(1, 1) }), closed);
  assert.equal(on({ ...closed, chosen }, { do: "take-out" }).closed, false, "two points close nothing");
  assert.equal(on(closed, { do: "open" }).closed, false);
  assert.deepEqual(spotsOf(on(line, { do: "clear" })), []);
  assert.deepEqual(on(line, { do: "clear" }, { do: "undo" }).pieces, line.pieces);
  assert.equal(on(line, { do: "undo" }), line);
  assert.equal(lastSpot(of("line", [line.pieces[0]!, []])), line.pieces[0]![2]);
  assert.equal(lastSpot(begun("line")), undefined);
  assert.equal(on(line, { do: "pause" }), line);
  assert.equal(on(line, { do: "hidden" }), line);
  assert.equal(on(line, { do: "join", gap: 0 }), line);
});

test("a line is kept as it grows, listed while it has points, and forgotten once it is saved", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    const told: (number | null)[] = [];
    const tell = (n: number | null) => void told.push(n);
    const name = { kind: "fence", shape: "line" } as const;
    const writer = new LineWriter(store, property, name, tell);
    const kept = () => keptRecording(store, property, "fence", "line");
    assert.equal(await kept(), undefined);
    assert.deepEqual(await begunLines(store, property), []);
    const line = of("line", [[spot(0, 0), spot(0, 9)]], { walk: "on", before: [begun("line")] });
    writer.keep(line);
    await until(() => told.length === 1);
    assert.deepEqual(told, [2]);
    const back = (await kept())!;
    assert.deepEqual([back.pieces, back.before, back.walk, back.pending?.why], [line.pieces, [], "paused", "closed"]);
    assert.deepEqual(await begunLines(store, property), [{ ...name, positions: 2 }]);
    assert.deepEqual(
      [
        await begunLines(store, "other"),
        await keptRecording(store, property, "fence", "area"),
        await keptRecording(store, property, "track", "line"),
      ],
      [[], undefined, undefined],
    );
    const area = new LineWriter(store, property, { kind: "fence", shape: "area" }, tell);
    area.keep(of("area", [[spot(0, 0)]]));
    await until(() => told.length === 2);
    const second = new LineWriter(store, property, { kind: "track", shape: "line" }, tell);
    second.keep(begun("line"));
    await until(() => told.length === 3);
    assert.deepEqual(told[2], 0);
    assert.deepEqual(
      (await begunLines(store, property)).map((l) => [l.kind, l.shape]),
      [
        ["fence", "line"],
        ["fence", "area"],
      ],
      "the track came to nothing",
    );
    await writer.drop();
    writer.keep(line);
    assert.deepEqual(
      (await begunLines(store, property)).map((l) => [l.kind, l.shape]),
      [["fence", "area"]],
    );
    assert.equal(await kept(), undefined);
    assert.deepEqual([...(await begunShapes(store))], []);
    await store.keepDraft(draftKey("a"), { course: line, of: "7" });
    assert.deepEqual([...(await begunShapes(store))], [["a", "7"]]);
  }));
