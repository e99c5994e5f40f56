import assert from "node:assert/strict";
import test from "node:test";
import { crestsNotLevelled, draw, isDashed, silted, stretch, ticks } from "./draw.ts";
import type { Section } from "./section.ts";
import { humped, sectionOf, wide } from "./sections.test.ts";

test("levels fit beside the axis, however many digits they have", () => {
  for (const [low, high] of [
    [0, 3],
    [100.19, 100.53],
    [1342.1, 1342.4],
  ] as const) {
    const drawing = draw(
      sectionOf(
        [
          [0, low],
          [10, high],
        ],
        { proven: false },
      ),
      { widthPx: 320, fontPx: 15 },
    );
    for (const t of drawing.yTicks) {
      const widthPx = t.text.length * 0.636 * drawing.fontPx; // a digit of DejaVu Sans, the widest of the faces in use, from its metrics
      assert.ok(drawing.plot.left - 10 >= widthPx, `${t.text} needs ${widthPx} px, there are ${drawing.plot.left - 10}`);
    }
  }
});

test("a hump is drawn where the bed stands, and named", () => {
  const drawing = draw(humped, wide);
  const fault = drawing.faults[0];
  assert.equal(fault?.label.text, "hump 0.50 m");
  assert.ok(fault && fault.x > fault.band.x && fault.x < fault.band.x + fault.band.width);
});

test("a dam whose level and place do not agree is marked, and holds no water", () => {
  const dams = [{ id: "a", name: "Dam 3", chainageM: 67, toeLevelM: 98.9, crestLevelM: 99.3, basis: "levelled" as const, disagrees: true }];
  const drawing = draw(
    sectionOf(
      [
        [0, 98],
        [80, 100],
      ],
      { dams },
    ),
    wide,
  );
  assert.equal(drawing.names[0]?.text, "Dam 3 ?");
  assert.ok(drawing.dams[0]!.offBedY! < drawing.dams[0]!.toeY, "the bed is not drawn above the toe under it");
  assert.equal(drawing.crests.length, 0);
});

test("the words can know which lines of silt are drawn, and how much of the gully", () => {
  const section = sectionOf(
    [
      [55, 101],
      [0, 98.6],
    ],
    {
      lengthM: 66,
      dams: [
        { id: "off", chainageM: 47, heightM: 0.6, basis: "GPS", disagrees: true, status: "pegged" },
        { id: "on", chainageM: 30, heightM: 0.5, basis: "GPS", status: "pegged" },
        { id: "gone", chainageM: 20, heightM: 0.5, basis: "GPS", status: "failed" },
        { id: "unmeasured", chainageM: 10, basis: "GPS", status: "built" },
      ],
    },
  );
  const drawn = draw(section, wide);
  assert.deepEqual([...silted(section).keys()], ["on"]);
  assert.deepEqual(
    drawn.crests.map((c) => c.dam),
    ["on"],
  );
  assert.deepEqual(stretch(section), { from: 0, to: 55 });
});

test("names that find no room on four rows, and faults on six, are left out", () => {
  const dams = Array.from({ length: 12 }, (_, i) => ({
    id: String(i),
    name: `Dam number ${i}`,
    chainageM: 50 + i / 100,
    toeLevelM: 101 + i / 100,
    crestLevelM: 101.2 + i / 100,
    basis: "levelled" as const,
  }));
  const pairs = dams.slice(1).map((d, i) => ({ lower: String(i), upper: d.id, spacingM: 0.01, stepM: -0.2, verdict: "drowned" as const }));
  const drawing = draw(
    sectionOf(
      [
        [0, 100],
        [100, 103],
      ],
      { dams, pairs },
    ),
    wide,
  );
  const rows = (labels: readonly { y: number }[]) => new Set(labels.map((l) => l.y)).size;
  assert.deepEqual([drawing.names.length, rows(drawing.names)], [4, 4]);
  assert.deepEqual([drawing.faults.length, rows(drawing.faults.map((f) => f.label))], [6, 6]);
});

test("numbers along the gully stand clear of each other", () => {
  for (const lengthM of [7, 66, 100, 1234, 98765]) {
    for (const widthPx of [320, 390, 800]) {
      const { xTicks, plot } = draw(
        sectionOf([
          [0, 100],
          [lengthM, 103],
        ]),
        { widthPx, fontPx: 15 },
      );
      assert.ok(xTicks.length >= 2, `${lengthM} m on ${widthPx} px: ${xTicks.length} numbers`);
      xTicks.slice(1).forEach((t, i) => {
        const room = t.at - xTicks[i]!.at;
        assert.ok(room >= 15 * 4, `${lengthM} m on ${widthPx} px: ${t.text} is ${room} px from the number before`);
      });
      assert.ok(xTicks.every((t) => t.at >= plot.left - 0.01 && t.at <= plot.right + 0.01));
    }
  }
});

test("levels beside the axis stand clear of each other", () => {
  for (const high of [100.3, 101, 103, 117]) {
    const { yTicks } = draw(
      sectionOf([
        [0, 100],
        [100, high],
      ]),
      wide,
    );
    assert.ok(yTicks.length >= 2, `up to ${high}: ${yTicks.length} levels`);
    yTicks.slice(1).forEach((t, i) => {
      const room = yTicks[i]!.at - t.at;
      assert.ok(room > 2 * wide.fontPx - 0.01, `up to ${high}: ${t.text} is ${room} px from the level before`);
    });
  }
});

test("a name that is wider than the paper begins where the paper does", () => {
  const dams = [{ id: "a", name: "Dam number 123", chainageM: 5, basis: "levelled" as const }];
  const { names, plot } = draw(
    sectionOf(
      [
        [0, 100],
        [10, 101],
      ],
      { dams },
    ),
    { widthPx: 120, fontPx: 15 },
  );
  assert.ok(Math.abs(names[0]!.x - (14 * 15 * 0.58) / 2 - plot.left) < 0.01, `its middle is at ${names[0]!.x}`);
});

test("a dam at a step of the bed stands at its foot", () => {
  const bed = [
    [0, 100],
    [20, 100],
    [20, 104],
    [40, 104],
  ] as const;
  const dams = [20, 30].map((chainageM) => ({ id: String(chainageM), chainageM, basis: "GPS" as const }));
  const { dams: drawn, yTicks } = draw(sectionOf(bed, { dams }), wide);
  const [foot, head] = drawn.map((d) => d.toeY) as [number, number];
  assert.ok(Math.abs(foot - yTicks[0]!.at) < 0.01 && head < foot, `${foot}, and 100 m at ${yTicks[0]!.at}`);
});

test("a dam without a level stands on the bed, beyond its ends on the nearest level", () => {
  const dams = [0, 10, 15, 20, 30, 40, 50].map((chainageM) => ({ id: String(chainageM), chainageM, heightM: 0.5, basis: "GPS" as const }));
  const bed = [
    [10, 100],
    [20, 101],
    [40, 105],
  ] as const;
  const drawing = draw(sectionOf(bed, { lengthM: 50, proven: false, dams }), wide);
  const [lowest, highest] = [drawing.dams[1]!.toeY, drawing.dams[5]!.toeY];
  const levels = drawing.dams.map((d) => 100 + (5 * (lowest - d.toeY)) / (lowest - highest));
  [100, 100, 100.5, 101, 103, 105, 105].forEach((want, i) =>
    assert.ok(Math.abs(levels[i]! - want) < 1e-9, `at ${dams[i]!.chainageM} m it stands at ${levels[i]}, want ${want}`),
  );
});

test("numbers of an axis have the decimals of their step", () => {
  const texts = (from: number, to: number, most: number) => ticks(from, to, most).map((t) => t.text);
  assert.deepEqual(texts(0, 3, 3), ["0", "1", "2", "3"]);
  assert.deepEqual(texts(0, 0.2, 2), ["0.0", "0.1", "0.2"]);
  assert.deepEqual(texts(0, 0.05, 5), ["0.00", "0.01", "0.02", "0.03", "0.04", "0.05"]);
  assert.deepEqual(texts(0, 100, 2), ["0", "50", "100"]);
  assert.deepEqual(texts(7, 7, 5), ["7.00"]);
});

// Dashes mean one thing on a section, that a closed level run has not checked it: a crest that
// nobody levelled is said in words, and what is planned is in outline.
test("dashed is what a closed level run has not checked, planned or built, and nothing else", () => {
  const at = { chainageM: 0, toeLevelM: 100 };
  const section = (...dams: Section["dams"]) => sectionOf([], { lengthM: 9, dams });
  for (const [name, dam, dashed] of [
    ["built, levelled", { ...at, crestLevelM: 100.4, basis: "levelled", status: "built" }, false],
    ["built, run not closed", { ...at, crestLevelM: 100.4, basis: "unproven", status: "built" }, true],
    ["built, toe checked, crest as planned", { ...at, heightM: 0.4, heightPlanned: true, basis: "levelled", status: "built" }, false],
    ["pegged, toe checked", { ...at, heightM: 0.4, heightPlanned: true, basis: "levelled", status: "pegged" }, false],
    ["pegged, toe not checked", { ...at, heightM: 0.4, heightPlanned: true, basis: "unproven", status: "pegged" }, true],
    ["proposed, no level", { chainageM: 0, heightM: 0.4, basis: "GPS", status: "proposed" }, false],
    ["built, height by hand", { chainageM: 0, heightM: 0.4, basis: "GPS", status: "built" }, false],
    ["a circle", { ...at, basis: "unproven", status: "built" }, false],
  ] as const) {
    const s = section({ id: "d", ...dam });
    assert.equal(isDashed(s), dashed, name);
    if (name === "a circle") continue; // it has no lines
    const drawn = draw(
      { ...s, bed: [0, 9].map((chainageM) => ({ chainageM, levelM: 100 + chainageM / 9 })) },
      { widthPx: 400, fontPx: 15 },
    );
    assert.deepEqual([drawn.dams[0]!.dashed, ...drawn.crests.map((c) => c.dashed)], [dashed, dashed], name);
  }
  assert.equal(isDashed({ ...section(), proven: false }), true, "a bed not checked");
});

test("dams that stand and whose crest is not levelled are told apart by where their height comes from", () => {
  const dam = (id: string, more: Partial<Section["dams"][number]>) => ({
    id,
    chainageM: 0,
    heightM: 0.4,
    basis: "levelled" as const,
    ...more,
  });
  const dams = [
    dam("planned", { status: "built", heightPlanned: true }),
    dam("by hand", { status: "failed" }),
    dam("levelled", { status: "built", toeLevelM: 1, crestLevelM: 2 }),
    dam("pegged", { status: "pegged", heightPlanned: true }),
  ];
  const { planned, byHand } = crestsNotLevelled(sectionOf([], { lengthM: 9, dams }));
  assert.deepEqual(
    [planned, byHand].map((all) => all.map((d) => d.id)),
    [["planned"], ["by hand"]],
  );
});

test("a name that found no room over its dam leads to the dam", () => {
  const dams = [{ id: "a", name: "Dam number 1", chainageM: 0, toeLevelM: 99.5, crestLevelM: 99.9, basis: "levelled" as const }];
  const { names, dams: drawn } = draw(
    sectionOf(
      [
        [0, 99.5],
        [60, 101.5],
      ],
      { dams },
    ),
    { widthPx: 390, fontPx: 15 },
  );
  const [name, dam] = [names[0]!, drawn[0]!];
  assert.ok(name.x > dam.x + dam.thickness, "the name stands aside of the dam");
  assert.ok(
    name.leader.x >= dam.x && name.leader.x <= dam.x + dam.thickness / 2,
    `its line ends at ${name.leader.x}, the crest begins at ${dam.x}`,
  );
  assert.equal(name.leader.y, dam.crestY);
});

test("only what is wrong between two dams is marked, where it is known by how much", () => {
  const [{ hump: _, ...pair }] = humped.pairs as [(typeof humped.pairs)[0]];
  const faults = (verdict: string, more: object) => draw({ ...humped, pairs: [{ ...pair, verdict, ...more }] }, wide).faults.length;
  for (const [verdict, stepM, want] of [
    ["level", 0.1, 0],
    ["gap", 0.1, 1],
    ["drowned", -0.1, 1],
    ["gap", undefined, 0],
  ] as const)
    assert.equal(faults(verdict, { stepM }), want, verdict);
});
