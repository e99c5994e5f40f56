// Setting out at its bounds: where a line, a bed, a tolerance or a spacing just holds or ends.

import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { metresBetween, moved, nearestOnLine, placeAt } from "../../base/plane.ts";
import type { Levels } from "../levelbook/levels.ts";
import { countsFrom, upOrBooked } from "../levelbook/chainage.ts";
import type { Row } from "../levelbook/row.ts";
import { lineLengthM, placeAlong, stretchOf, upFrom } from "./along.ts";
import { askBank, bankAdvice, farQuestion, gentlest, nextBankName, peggedBank, spacedBy } from "./banks.ts";
import { askContour, contourWords, dueAt, lineThrough, nextLineName, pegFields, pegsIn, toleranceOf } from "./contour.ts";
import { crestsIn, damWords, nextDamName, peggedDam, toeRemark } from "./dams.ts";
import { amount, guide, offQuestion, wayTo } from "./guide.ts";
import { endWords, lineOf } from "./lineends.ts";
import { chosenTable, localRowsOf } from "./settings.ts";

const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  ...{ id, property: "p", fields, struck: false, clashes: [], saw: {}, stamp: "0", unsent: 0 },
  ...more,
});
const levelsOf = (...m: (number | undefined)[]): Levels => ({
  rows: m.map((levelM) => (levelM === undefined ? undefined : { point: "", setup: 1, levelM })),
  sightM: 102,
  run: undefined as never,
  open: true,
});
const start = { lon: 146.5, lat: -20.25 };
/** A line through places so many metres east and north of the start. */
const through = (...places: readonly (readonly [number, number])[]) =>
  places.map(([east, north]) => {
    const { lon, lat } = moved(start, east, north);
    return [lon, lat] as const;
  });
const apart = (a: { lon: number; lat: number } | undefined, eastM: number, northM: number) =>
  metresBetween(a!, moved(start, eastM, northM));

test("a place along a line lies on the leg that it falls on", () => {
  const bent = through([0, 0], [0, 100], [0, 100], [80, 100]);
  assert.ok(apart(placeAlong(bent, 0), 0, 0) < 0.01);
  assert.ok(apart(placeAlong(bent, 100), 0, 100) < 0.01);
  assert.ok(apart(placeAlong(bent, 130), 30, 100) < 0.05);
  assert.equal(placeAlong(bent, -0.1), undefined);
  assert.equal(placeAlong(bent, 181), undefined);
  assert.equal(placeAlong(through([0, 0], [0, 0]), 0), undefined, "a line of no length");
  assert.ok(Math.abs(lineLengthM({ type: "LineString", coordinates: bent })! - 180) < 0.1);
  assert.equal(lineLengthM({ type: "Point", coordinates: bent[0]! }), undefined);
  assert.equal(lineLengthM(undefined), undefined);
  const near = nearestOnLine(bent.map(placeAt), moved(start, 30, 93))!;
  assert.ok(Math.abs(near.alongM - 130) < 0.1 && Math.abs(near.offM - 7) < 0.05 && near.after === 2);
  assert.ok(apart(near.at, 30, 100) < 0.05);
});

test("how far a tape may stretch against its line", () => {
  const bed = (...chainages: number[]) => chainages.map((chainageM) => ({ chainageM }));
  for (const [lineM, taped, want] of [
    [100, [0, 80], 0.2],
    [130, [20, 120], 30 / 130], // from where the tape began
    [100, [0, 70], 0.3],
    [100, [0, 69], 0.1], // a part was levelled
    [70, [0, 100], 0.3],
    [69, [0, 100], 0.3],
    [100, [0, 95], 0.1],
    [100, [0], 0.1],
    [100, [], 0.1],
    [0, [0, 50], 0.1],
    [100, [5, 5], 0.1],
  ] as const) {
    assert.ok(Math.abs(stretchOf(lineM, bed(...taped)) - want) < 1e-9, `${lineM} m and ${taped}: ${stretchOf(lineM, bed(...taped))}`);
  }
});

test("the tape is tied to a line that is near enough", () => {
  const line = through([0, 0], [100, 0]);
  const from = (northM: number, accuracyM: number) => ({ ...moved(start, 40, northM), accuracyM });
  const up = (northM: number, accuracyM: number, upM = 20) => upFrom(line, false, from(northM, accuracyM), upM, 0, 0);
  assert.ok(apart(up(9.9, 2)!.to, 60, 0) < 0.05);
  assert.equal(up(10.1, 2), undefined);
  assert.ok(up(14.9, 5), "three times its accuracy");
  assert.equal(up(15.1, 5), undefined);
  assert.equal(up(0, 2, 70), undefined, "beyond the line's end");
  assert.deepEqual([up(0, 3, 6)!.rough, up(0, 3, 5.9)!.rough], [false, true]);
  assert.ok(apart(upFrom(line, true, from(0, 2), 20, 0, 0)!.to, 20, 0) < 0.05, "drawn from the head");
  assert.equal(upFrom([], false, from(0, 2), 20, 0, 0), undefined);
});

const by = { table: "water-bars-two-soils", soil: "general" } as const;
const answer = (allowedM: number) => ({ tableSource: "t", banks: [{ allowedM, slopePct: 5 }] }) as never;

test("a bank is asked for where the track falls, and told where it goes", () => {
  assert.equal(askBank({ topLevelM: 100, hereLevelM: 100, distanceM: 20 }, by), null, "it is level");
  assert.equal(askBank({ topLevelM: 100, hereLevelM: 99, distanceM: 0 }, by), null, "nothing is taped");
  assert.equal(askBank({ topLevelM: 100, hereLevelM: 99, distanceM: 500 }, by)!.track.length, 2);
  assert.equal(askBank({ topLevelM: 100, hereLevelM: 99, distanceM: 499 }, by)!.track.length, 3);
  const local = { table: "local", rows: [{ upToPct: 5, spacingM: 40 }], source: " " } as const;
  assert.deepEqual(Object.keys(askBank({ topLevelM: 100, hereLevelM: 99, distanceM: 20 }, local)!), ["track", "table", "rows", "basis"]);
  assert.equal(bankAdvice({ tableSource: "t", banks: [] } as never, 20), null);
  for (const [downM, state, words] of [
    [38.9, "on", "Go 1 m down the track"],
    [39, "here", "Here: peg the whoa-boy"],
    [41, "here", "Here: peg the whoa-boy"],
    [41.1, "back", "Come back 2 m up the track"],
  ] as const) {
    const advice = bankAdvice(answer(40), downM)!;
    assert.deepEqual([advice.state, advice.words], [state, words], String(downM));
  }
  const advice = bankAdvice(answer(40), 50)!;
  assert.equal(advice.why, "The track falls 5.0 %: whoa-boys at most 40 m apart by t.");
  assert.equal(farQuestion(41, advice), undefined);
  assert.equal(farQuestion(50, null), undefined);
  assert.equal(farQuestion(46.5, advice)!.words, "46.5 m is 6.5 m more than the 40 m allowed on this fall.");
  assert.equal(spacedBy(41, advice), advice.why);
  assert.match(spacedBy(50, advice), / Pegged 50 m down, 10 m farther than that\.$/);
});

test("where a plan has a bank it is pegged, unless the table forbids it for any fall that was read", () => {
  const planned = (dueM: number, allowedM?: number) => ({ dueM, answer: allowedM === undefined ? undefined : answer(allowedM) });
  for (const [downM, by, state, words] of [
    [72.7, planned(72.7, 75), "here", "Here: peg the whoa-boy"],
    [60, planned(72.7, 75), "on", "Go 12 m down the track"],
    [74.7, planned(72.7, 75), "back", "Come back 2 m up the track"],
    [76, planned(76, 75), "here", "Here: peg the whoa-boy"],
    [76.1, planned(76.1, 75), "back", "Come back 2 m up the track"],
    [30, planned(30, 40), "here", "Here: peg the whoa-boy"],
    [30, planned(30), "here", "Here: peg the whoa-boy"],
    [30, planned(-5, 40), "on", "Go 10 m down the track"],
    [72.7, planned(72.7, 40), "back", "Come back 33 m up the track"],
  ] as const) {
    const advice = bankAdvice(answer(40), downM, "t", by)!;
    assert.deepEqual([advice.state, advice.words], [state, words], JSON.stringify([downM, by.dueM]));
  }
  const why = (by: ReturnType<typeof planned>) => bankAdvice(answer(40), by.dueM, "t", by)!.why;
  assert.equal(
    why(planned(72.7, 75)),
    "The track falls 5.0 %: whoa-boys at most 75 m apart by t, or 40 m if it falls a little more: two rows of the table meet at this fall.",
  );
  assert.equal(farQuestion(72.7, bankAdvice(answer(40), 72.7, "t", planned(72.7, 75))), undefined);
  assert.equal(why(planned(30, 40)), "The track falls 5.0 %: whoa-boys at most 40 m apart by t.");
  assert.match(why(planned(72.7, 40)), / The plan has it 32\.7 m farther: read the staff again, or look in the plan why\.$/);
  const fall = { topLevelM: 100, hereLevelM: 98.5, distanceM: 75 };
  assert.ok(Math.abs(gentlest(fall).hereLevelM - 98.514142) < 1e-6);
});

test("what a pegged bank or dam says of itself: nothing that is not known", () => {
  const bank = { run: "r", levelM: 99, downM: 20, from: "", slopePct: undefined, by: undefined };
  assert.deepEqual(peggedBank("W", "", 12, bank, "2026-03-01", {}), {
    ...{ kind: "whoa-boy", name: "W", status: "pegged", peggedOn: "2026-03-01", observedOn: "2026-03-01" },
    ...{ levelM: 99, levelRun: "r", fromAboveM: 20, fromAboveBasis: "taped" },
  });
  const whole = peggedBank("W", "t", 12, { ...bank, from: "w1", slopePct: 4.24, by: "why" }, "2026-03-01", { accuracyM: 4 });
  const { fromAboveTo, trackSlopePct, spacedBy, track, chainageM, chainageBasis, accuracyM } = whole;
  assert.deepEqual(
    [fromAboveTo, trackSlopePct, spacedBy, track, chainageM, chainageBasis, accuracyM],
    ["w1", 4.2, "why", "t", 12, "taped", 4],
  );
  assert.equal("chainageM" in peggedBank("W", "t", undefined, bank, "", {}), false);
  const dam = { run: "r", toeLevelM: 100.2, heightM: undefined };
  assert.deepEqual(Object.keys(peggedDam("D", dam, "", undefined, "d", {})), [
    "kind",
    "name",
    "status",
    "peggedOn",
    "observedOn",
    "toeLevelM",
    "levelRun",
  ]);
  const set = peggedDam("D", { ...dam, heightM: 0.45, below: "b", upM: 12 }, "g", 30, "d", {});
  assert.deepEqual(
    [
      set["targetCrestLevelM"],
      set["thalweg"],
      set["damBelow"],
      set["fromBelowM"],
      set["fromBelowBasis"],
      set["chainageM"],
      set["chainageBasis"],
    ],
    [100.65, "g", "b", 12, "taped", 30, "taped"],
  );
  assert.equal("damBelow" in peggedDam("D", { ...dam, upM: 12 }, "g", 30, "d", {}), false);
  const lower = { feature: "b", name: "Dam 1", levelM: 100.6, how: "levelled" } as const;
  assert.equal(toeRemark(undefined, 12), undefined);
  assert.equal(toeRemark(lower, undefined), undefined);
  assert.equal(toeRemark(lower, 12), "taped 12 m up from the toe of Dam 1");
  assert.equal(toeRemark({ ...lower, feature: "" }, 12), "taped 12 m up from the toe of the dam below, to a crest typed at 100.600");
  assert.equal(damWords({ ...lower, feature: "" }), "the dam below");
  assert.deepEqual(pegFields("P", "l", { levelM: 1, run: "r", chainageM: undefined }, "d", {}), {
    ...{ kind: "peg", name: "P", of: "l", observedOn: "d", levelM: 1, levelRun: "r" },
  });
});

test("pegs of a contour: those of the line that stand and are levelled", () => {
  const row = (more: Partial<Row>): Row => ({ point: "P", is: 1, feature: "l", spot: "peg", chainageM: 0, ...more });
  const rows = [row({}), row({ feature: "m" }), row({ spot: "bed" }), row({ struck: true }), row({ chainageM: 9 })];
  assert.deepEqual(
    pegsIn("l", rows, levelsOf(1, 2, 3, 4, undefined)).pegs.map((p) => p.levelM),
    [1],
  );
  assert.equal(pegsIn("l", [], levelsOf()).proven, false, "no peg proves nothing");
  const peg = (chainageM: number) => ({ name: "", chainageM, levelM: 1 });
  assert.equal(askContour([peg(0), peg(0.001)], 0.05, true)!.basis, "levelled");
  assert.equal(askContour([peg(0), peg(0.0009)], 0.05, true), null);
  assert.equal(askContour([peg(0), peg(5), peg(5)], 0.05, true), null);
  const due = (alongM: number | undefined, taped = true) => dueAt([peg(0), peg(12.5)], taped, alongM);
  assert.deepEqual([due(20.1), due(12.6), due(12.5), due(5), due(undefined)], [27.7, 12.7, undefined, undefined, undefined]);
  assert.deepEqual([due(20, false), dueAt([], true, 20)], [undefined, undefined]);
  const worst = (offM: number) => ({ worst: { peg: 7, offM, plusMinusM: 0 }, offsM: [0, offM], verdict: "OK" }) as never;
  assert.match(contourWords(worst(0.05), 0.05), /^All 2 pegs are within 0\.05 m/);
  assert.match(contourWords(worst(0.0501), 0.05), /^Peg 7 is 0\.050 m high: move it downhill/);
  assert.equal(toleranceOf(undefined, "batter"), 0.05);
  assert.equal(nextLineName([feature("a", { name: "Rip line 12" }), feature("b", { name: "Rip line" })], "Rip line"), "Rip line 13");
  const at = (lat: number, more: Fields = {}): Fields => ({ geometry: { type: "Point", coordinates: [146, lat] }, ...more });
  const known = (...fields: Fields[]) => fields.map((f, i) => feature(String(i), { kind: "peg", of: "l", ...f }));
  assert.equal(lineThrough(undefined, known(at(-20)), at(-20), "l"), undefined, "two pegs at one place");
  const twice = lineThrough(undefined, known(at(-20), at(-20)), at(-20.1), "l")!;
  assert.equal((twice["geometry"] as { coordinates: unknown[] }).coordinates.length, 2);
  assert.equal(lineThrough(undefined, known(at(-20, { accuracyM: 0 })), at(-20.1, { accuracyM: 3 }), "l")!["accuracyM"], null);
  assert.equal(lineThrough(undefined, known(at(-20, { accuracyM: "3" })), at(-20.1, { accuracyM: 3 }), "l")!["accuracyM"], null);
  assert.ok(
    lineThrough(feature("l", { drawnThrough: "pegs", ...at(-20) }), known(at(-20)), at(-20.1), "l"),
    "it was drawn through its pegs",
  );
  const line = [
    [146, -20],
    [146, -20.2],
  ];
  const drawn = (positionBasis: string, geometry: Fields) =>
    lineThrough(feature("l", { positionBasis, geometry }), known(at(-20)), at(-20.1), "l");
  assert.ok(drawn("from plan", { type: "LineString", coordinates: line }), "a plan put it there, and the pegs are where it is");
  assert.equal(drawn("from plan", { type: "MultiLineString", coordinates: [line] }), undefined, "its gaps are the plan's");
  assert.equal(drawn("GPS", { type: "LineString", coordinates: line }), undefined, "somebody walked it");
});

test("crests are of dams that stand, the last that was levelled first", () => {
  const dam = (id: string, more: Fields = {}, also: Partial<Feature> = {}) => feature(id, { kind: "check-dam", name: id, ...more }, also);
  const dams = [
    dam("a"),
    dam("b", { crestHeightM: 0.5 }),
    dam("c", { crestHeightM: 1 }, { struck: true }),
    feature("w", { kind: "windrow" }),
  ];
  const row = (of: string | undefined, spot: Row["spot"]): Row => ({ point: "", is: 1, ...(of && { feature: of }), ...(spot && { spot }) });
  const rows = [
    row("a", "crest"),
    row("b", "toe"),
    row("b", "crest"),
    row("c", "toe"),
    row("w", "crest"),
    row("gone", "crest"),
    row("a", "toe"),
    row("a", "crest"),
    row("b", "bed"),
  ];
  const found = crestsIn(rows, levelsOf(100, 101, 102, 103, 104, 105, 106, 107, 108), dams);
  assert.deepEqual(
    found.map((c) => [c.feature, c.levelM]),
    [
      ["a", 107],
      ["b", 102],
    ],
  );
  const toes = crestsIn([row("b", "toe"), row("x", "toe"), row("b", "toe")], levelsOf(100, 103, 101), [
    ...dams,
    dam("x", { crestHeightM: 1 }),
  ]);
  assert.deepEqual(
    toes.map((c) => [c.feature, c.levelM]),
    [
      ["b", 101.5],
      ["x", 104],
    ],
  );
  assert.equal(crestsIn([row("a", "toe")], levelsOf(100), dams).length, 0, "its height is not known");
  assert.equal(crestsIn([row("a", "crest")], levelsOf(undefined), dams).length, 0);
  assert.equal(nextDamName([dam("Dam 7"), feature("w", { kind: "windrow", name: "Dam 9" })]), "Dam 8");
  assert.equal(nextBankName([feature("w", { kind: "peg", name: "Whoa-boy 9" })]), "Whoa-boy 1");
});

test("which end chainages count from is told by a bed of two places", () => {
  const bed = [
    { chainageM: 5, levelM: 100 },
    { chainageM: 30, levelM: 101 },
  ];
  assert.equal(countsFrom({ bed: bed.slice(0, 1) }), "");
  assert.equal(countsFrom({ bed }), "from the downstream end");
  assert.equal(countsFrom({ bed: [], bookedFromM: 120 }), "from the head");
  assert.equal(countsFrom(null), "");
  assert.deepEqual([upOrBooked(20, undefined), upOrBooked(20.1, { bookedFromM: 120 })], [20, 99.9]);
});

test("words at the bounds of a tolerance", () => {
  assert.equal(guide(0.05 + 1e-10, 0.05).state, "hold");
  assert.equal(guide(-0.06, 0.05).words, "Go up 0.060 m");
  assert.equal(offQuestion(0.05, 0.05, "the crest"), undefined);
  assert.equal(offQuestion(undefined, 0.05, "the crest"), undefined);
  assert.equal(offQuestion(-0.06, 0.05, "the crest")!.words, "0.060 m too low for the crest, where 0.05 m is allowed.");
  assert.equal(amount(0.0995), "0.10 m");
  assert.equal(wayTo("Up:", 9.4, 0, 1).words, "Up: 9.5 m north, ±1 m by GPS.");
  assert.equal(wayTo("Up:", 9.5, 0, 0.2).words, "Up: 10 m north, ±1 m by GPS.");
  assert.equal(wayTo("Up:", 12, 0, 4).words, "Up: 12 m north, ±4 m by GPS.");
  assert.equal(wayTo("Up:", 5, 0, 5).words, "Up: Within 5 m: pace it, ±5 m by GPS.");
});

test("a line of one piece has ends, a table without rows is none", () => {
  const line = through([0, 0], [0, 100]);
  assert.equal(lineOf({ type: "LineString", coordinates: line.slice(0, 1) }), undefined);
  assert.equal(lineOf({ type: "LineString", coordinates: line })?.length, 2);
  assert.deepEqual(
    [endWords("start of the line", { type: "LineString", coordinates: line }), endWords("else", { type: "LineString", coordinates: line })],
    ["south end", undefined],
  );
  const settings = (more: Fields) => feature("s", { kind: "settings", ...more });
  assert.equal(localRowsOf(settings({ whoaBoyRows: [] })), undefined);
  assert.equal(localRowsOf(settings({ whoaBoyRows: [{ upToPct: 1, spacingM: 2 }] }))?.length, 1);
  assert.equal(chosenTable(settings({ whoaBoyTable: "water-bars-one-soil" }))!.table.name, "water-bars-one-soil", "it has no columns");
  assert.equal(chosenTable(settings({ whoaBoyTable: "water-bars-two-soils" })), undefined);
});
