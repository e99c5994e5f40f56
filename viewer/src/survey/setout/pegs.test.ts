import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import type { Levels } from "../levelbook/levels.ts";
import type { Row } from "../levelbook/row.ts";
import { metresBetween, nearestOnLine, placeAt } from "../../base/plane.ts";
import { placeAlong, stretchOf, upFrom } from "./along.ts";
import { beyondQuestion } from "../levelbook/jump.ts";
import { askBank, bankAdvice, nextBankName, peggedBank, spacedBy } from "./banks.ts";
import { askContour, contourWords, lineThrough, pegFields, pegsIn, toleranceOf } from "./contour.ts";
import { countsFrom } from "../levelbook/chainage.ts";
import { askRise, crestsIn, nextDamName, targetAbove } from "./dams.ts";
import { offQuestion } from "./guide.ts";

const feature = (id: string, fields: Fields): Feature => ({
  id,
  property: "p",
  fields,
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
});
const levelsOf = (...m: (number | undefined)[]): Levels => ({
  rows: m.map((levelM) => (levelM === undefined ? undefined : { point: "", setup: 1, levelM })),
  sightM: 102,
  run: undefined as never,
  open: true,
});

test("a dam that is only pegged gives its crest by toe and height, a levelled crest comes before it", () => {
  const dams = [
    feature("a", { kind: "check-dam", name: "Dam 1", crestHeightM: 0.4, chainageM: 10 }),
    feature("b", { kind: "check-dam", name: "Dam 2", crestHeightM: 0.5 }),
  ];
  const rows: Row[] = [
    { point: "Dam 1 toe", is: 1.8, feature: "a", spot: "toe" },
    { point: "Dam 2 toe", is: 1.4, feature: "b", spot: "toe" },
    { point: "Dam 2 crest", is: 0.95, feature: "b", spot: "crest" },
    { point: "wrong", is: 0.1, feature: "a", spot: "crest", struck: true },
  ];
  assert.deepEqual(crestsIn(rows, levelsOf(100.2, 100.6, 101.05, 101.9), dams), [
    { feature: "b", name: "Dam 2", levelM: 101.05, how: "levelled" },
    { feature: "a", name: "Dam 1", chainageM: 10, levelM: 100.6, how: "toe and height" },
  ]);
  assert.equal(nextDamName(dams), "Dam 3");
});

test("silt that rises upstream lifts the next toe", () => {
  const ask = askRise(100.6, 20, 1)!;
  assert.deepEqual(
    [askRise(100.6, undefined, 1), askRise(100.6, 0, 1), askRise(100.6, -1, 1), askRise(100.6, 20, 0)],
    [null, null, null, null],
  );
  assert.equal(askRise(100.6, 0.1, 0.5)!.depositSlopePct, 0.5);
  assert.deepEqual(
    ask.dams.map((d) => d.chainageM),
    [0, 20],
  );
  // dam-check's step is the upper toe less the lower crest less the deposit's rise: -0.2 here
  const checked = { pairs: [{ stepM: -0.2 }] } as never;
  assert.equal(targetAbove(100.6, checked), 100.8);
});

test("pegs of a line are taken in order along it", () => {
  const row = (chainageM: number | undefined): Row => ({
    point: `Peg ${chainageM}`,
    is: 1,
    feature: "l",
    spot: "peg",
    ...(chainageM === undefined ? {} : { chainageM }),
  });
  assert.deepEqual(
    pegsIn("l", [row(20), row(0)], levelsOf(100.01, 100)).pegs.map((p) => p.chainageM),
    [0, 20],
  );
  const loose = pegsIn("l", [row(undefined), row(0)], levelsOf(100.01, 100));
  assert.deepEqual([loose.taped, loose.pegs.map((p) => p.levelM)], [false, [100.01, 100]]);
  assert.equal(askContour([{ name: "a", chainageM: 0, levelM: 1 }], 0.05, true), null);
  assert.equal(askContour(pegsIn("l", [row(0), row(0)], levelsOf(1, 1)).pegs, 0.05, true), null, "two pegs at one place");
  assert.equal(askContour(pegsIn("l", [row(0), row(9)], levelsOf(1, 1)).pegs, 0.05, false)!.basis, "unproven");
});

test("the line's own tolerance comes before its kind's", () => {
  assert.equal(toleranceOf(feature("l", { kind: "rip-line", toleranceM: 0.03 }), "rip-line"), 0.03);
  assert.equal(toleranceOf(undefined, "windrow"), 0.1);
  const out = (offM: number, verdict: "OK" | "fails" | "not levelled") =>
    ({ worst: { peg: 7, name: "Peg 7", offM, plusMinusM: 0.003 }, offsM: [0, offM], verdict }) as never;
  assert.equal(contourWords(out(0.06, "not levelled"), 0.05), "Peg 7 is 0.060 m high: move it downhill.");
  assert.equal(contourWords(out(-0.06, "fails"), 0.05), "Peg 7 is 0.060 m low: move it uphill.");
  assert.match(contourWords(out(0.01, "not levelled"), 0.05), /Not yet checked by a closed level run/);
  assert.ok(!contourWords(out(0.01, "OK"), 0.05).includes("must close"));
});

test("a line is drawn through its pegs, never over one that was drawn", () => {
  const at = (lon: number): Fields => ({ geometry: { type: "Point", coordinates: [lon, -20] } });
  const pegs = [feature("1", { kind: "peg", of: "l", ...at(146) }), feature("2", { kind: "peg", of: "other", ...at(147) })];
  assert.deepEqual(
    lineThrough(undefined, pegs, at(146.001), "l"),
    {
      geometry: {
        type: "LineString",
        coordinates: [
          [146, -20],
          [146.001, -20],
        ],
      },
      drawnThrough: "pegs",
      positionBasis: "GPS",
      accuracyM: null,
    },
    "no accuracy was recorded",
  );
  const by = (lon: number, accuracyM: number, positionBasis = "GPS") => ({ ...at(lon), accuracyM, positionBasis });
  const known = [feature("1", { kind: "peg", of: "l", ...by(146, 4) }), feature("2", { kind: "peg", of: "l", ...by(146.001, 3) })];
  const through = lineThrough(undefined, known, by(146.002, 5), "l")!;
  assert.deepEqual([through["accuracyM"], through["positionBasis"]], [4.08, "GPS"], "√((16 + 9 + 25) / 3), as a line that was walked");
  assert.equal(lineThrough(undefined, known, at(146.002), "l")!["accuracyM"], null, "one that is not known leaves the line's unknown");
  assert.equal(lineThrough(undefined, known, by(146.002, 5, "drawn on the map"), "l")!["positionBasis"], "drawn on the map");
  assert.equal(lineThrough(undefined, pegs, {}, "l"), undefined, "one place is no line");
  assert.equal(
    lineThrough(
      feature("l", {
        geometry: {
          type: "LineString",
          coordinates: [
            [1, 1],
            [2, 2],
          ],
        },
      }),
      pegs,
      at(146.001),
      "l",
    ),
    undefined,
  );
});

test("the track is taken to fall on as it has fallen", () => {
  assert.equal(
    askBank({ topLevelM: 100, hereLevelM: 100.1, distanceM: 20 }, { table: "water-bars-two-soils", soil: "general" }),
    null,
    "it rises",
  );
  const ask = askBank({ topLevelM: 100, hereLevelM: 99, distanceM: 20 }, { table: "water-bars-two-soils", soil: "general" })!;
  assert.deepEqual(ask.track, [
    { chainageM: 0, levelM: 100 },
    { chainageM: 20, levelM: 99 },
    { chainageM: 500, levelM: 75 },
  ]);
  const answer = (allowedM: number, otherAllowedM?: number) =>
    ({ tableSource: "t", banks: [{ allowedM, slopePct: 5, ...(otherAllowedM ? { otherAllowedM } : {}) }] }) as never;
  assert.deepEqual([bankAdvice(answer(40), 20)!.state, bankAdvice(answer(40), 20)!.words], ["on", "Go 20 m down the track"]);
  assert.deepEqual([bankAdvice(answer(40), 46.5)!.state, bankAdvice(answer(40), 46.5)!.words], ["back", "Come back 7 m up the track"]);
  assert.equal(bankAdvice(answer(40), 39.4)!.state, "here");
  assert.equal(bankAdvice(answer(40, 35), 20)!.words, "Go 15 m down the track", "the closer of two spacings");
  assert.equal(nextBankName([feature("w", { kind: "whoa-boy", name: "Whoa-boy 4" })]), "Whoa-boy 5");
});

test("a place along a line is as far along it as was asked", () => {
  const line = [
    [146.5, -20.25],
    [146.5, -20.249],
    [146.5004, -20.248],
  ] as const;
  const start = { lon: 146.5, lat: -20.25 };
  assert.ok(Math.abs(metresBetween(start, placeAlong(line, 60)!) - 60) < 0.01);
  assert.equal(placeAlong(line, 1000), undefined);
});

// A bed taped as 120 m, whose line was walked as 148 m: 28/148 = 0.19 of a way is not known. From
// the dam just pegged, whose fix is ±4 m, 12.6 m up: √(4² + 4² + (0.19 × 12.6)²) = 6.1 m, less than
// half of the way; 7.0 m up it is 5.8 m, more than half, and only the tape can tell.
test("a tape is tied to the line at the dam just pegged, not at the line's end", () => {
  const metre = 1 / 104_500; // of longitude at 20.25° S
  const line = [
    [146.5, -20.25],
    [146.5 + 148 * metre, -20.25],
  ] as const;
  const dam = { lon: 146.5 + 60 * metre, lat: -20.25, accuracyM: 4 };
  const bed = [{ chainageM: 0 }, { chainageM: 120 }];
  assert.ok(Math.abs(stretchOf(148, bed) - 0.189) < 0.001);
  assert.equal(stretchOf(122, bed), 0.1);
  assert.equal(stretchOf(400, bed), 0.1, "a part of the gully was levelled");
  assert.equal(stretchOf(80, bed), 0.3, "a line far shorter than its bed");
  const up = upFrom(line, false, dam, 12.6, stretchOf(148, bed), 4)!;
  assert.ok(Math.abs(metresBetween(dam, up.to) - 12.6) < 0.05 && up.to.lon > dam.lon);
  assert.ok(Math.abs(up.plusMinusM - 6.1) < 0.1 && !up.rough);
  assert.ok(upFrom(line, true, dam, 12.6, 0.19, 4)!.to.lon < dam.lon, "drawn from the head");
  assert.equal(upFrom(line, false, dam, 7, 0.19, 4)!.rough, true);
  assert.equal(upFrom(line, false, { ...dam, lat: -20.2503 }, 12.6, 0.19, 4), undefined, "33 m off the line");
  const near = nearestOnLine(line.map(placeAt), { lon: 146.5 + 30 * metre, lat: -20.25 + 5 / 110_700 })!;
  assert.ok(Math.abs(near.alongM - 30) < 0.1 && Math.abs(near.offM - 5) < 0.1);
});

test("a chainage says from which end it counts, as the bed was booked", () => {
  const bed = [
    { chainageM: 0, levelM: 100 },
    { chainageM: 120, levelM: 103 },
  ];
  assert.equal(countsFrom({ bed }), "from the downstream end");
  assert.equal(countsFrom({ bed, bookedFromM: 120 }), "from the head");
  assert.equal(countsFrom({ bed: [] }), "", "nothing tells yet");
  assert.equal(countsFrom(null), "");
});

test("a peg holds what was read and no note, and a bank what was taped", () => {
  const peg = pegFields("Rip line 1, peg 2", "r", { levelM: 100.592, run: "run", chainageM: undefined }, "2026-11-25", {});
  assert.deepEqual(peg, { kind: "peg", name: "Rip line 1, peg 2", of: "r", observedOn: "2026-11-25", levelM: 100.592, levelRun: "run" });
  const bank = peggedBank(
    "Whoa-boy 2",
    "",
    undefined,
    { run: "run", levelM: 99.1, downM: 44, from: "Whoa-boy 1", slopePct: 4.98, by: undefined },
    "2026-11-25",
    {},
  );
  assert.deepEqual(
    [bank["fromAboveM"], bank["fromAboveBasis"], bank["fromAboveTo"], bank["trackSlopePct"], "chainageM" in bank, "notes" in bank],
    [44, "taped", "Whoa-boy 1", 5, false, false],
  );
  const advice = { state: "back", words: "", slopePct: 7.3, allowedM: 30.4, why: "At most 30 m apart." } as const;
  assert.equal(spacedBy(41, advice), "At most 30 m apart. Pegged 41 m down, 10.6 m farther than that.");
  assert.equal(spacedBy(31, advice), "At most 30 m apart.", "within a pace");
});

test("what can hardly be meant is asked about", () => {
  assert.equal(offQuestion(undefined, 0.05, "Dam 4's crest"), undefined);
  assert.equal(offQuestion(0.05, 0.05, "Dam 4's crest"), undefined);
  assert.equal(offQuestion(0.5, 0.05, "Dam 4's crest")?.words, "0.50 m too high for Dam 4's crest, where 0.05 m is allowed.");
  assert.equal(beyondQuestion(70, 61, "House track"), undefined, "a tape runs longer than a line on a map");
  assert.match(beyondQuestion(86, 61, "House track") ?? "", /recorded 61 m long/);
});
