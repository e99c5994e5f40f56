import test from "node:test";
import assert from "node:assert/strict";
import type { Section } from "../../section/section.ts";
import type { Feature } from "../../base/entry.ts";
import type { Levels } from "./levels.ts";
import type { Row } from "./row.ts";
import { countsFrom, upGully } from "./chainage.ts";
import { askForSteps, beds, heightOf, isHeightPlanned, sectionOf, stepsOf } from "./section.ts";

const dam = (id: string, chainageM: number, toeLevelM: number) => ({
  id,
  chainageM,
  toeLevelM,
  crestLevelM: toeLevelM + 0.5,
  basis: "levelled" as const,
});
const up: Section = {
  thalweg: "t",
  lengthM: 40,
  proven: true,
  pairs: [],
  notes: [],
  bed: [
    { chainageM: 0, levelM: 10 },
    { chainageM: 15, levelM: 11.2 },
    { chainageM: 40, levelM: 12 },
  ],
  dams: [dam("lower", 5, 10), dam("upper", 25, 10.5)],
};
const down: Section = {
  ...up,
  bed: [
    { chainageM: 0, levelM: 12 },
    { chainageM: 25, levelM: 11.2 },
    { chainageM: 40, levelM: 10 },
  ],
  dams: [dam("upper", 15, 10.5), dam("lower", 35, 10)],
};

test("the steps are asked for with the levelled bed, on which humps stand", () => {
  assert.deepEqual(askForSteps(up)?.bed, up.bed);
  assert.deepEqual(askForSteps(down)?.bed, down.bed);
  const one = askForSteps({ ...up, bed: up.bed.slice(1, 2) });
  assert.ok(one && !("bed" in one));
  assert.equal(askForSteps({ ...up, dams: up.dams.slice(1) }), null);
  const { crestLevelM: _, ...toeAlone } = dam("third", 30, 11);
  assert.equal(askForSteps({ ...up, dams: [...up.dams, toeAlone] })?.dams.length, 2, "with its crest not read yet");
});

test("a hump stands where dam-check found it", () => {
  const pair = {
    lower: "lower",
    upper: "upper",
    spacingM: 20,
    stepM: 0,
    verdict: "hump" as const,
    basis: "levelled" as const,
    hump: { chainageM: 15, aboveM: 0.7 },
  };
  assert.deepEqual(stepsOf({ pairs: [pair], cautions: [] })[0]?.hump, { chainageM: 15, aboveM: 0.7 });
});

test("a bed booked from the head down is the one booked up the gully, with its dams", () => {
  const turned = upGully(down, { turnedAtM: 40 }, undefined);
  assert.equal(turned.asBooked, false);
  assert.deepEqual(turned.section.bed, up.bed);
  assert.deepEqual(
    turned.section.dams.map((d) => [d.id, d.chainageM]),
    [
      ["upper", 25],
      ["lower", 5],
    ],
  );
  assert.deepEqual(turned.section.notes, ["Booked from the head down and turned here: chainage 0 is the downstream end, 40 m as booked."]);
  assert.deepEqual(upGully(up, {}, null), { section: up, asBooked: false });
  assert.deepEqual(upGully(down, undefined, null), { section: down, asBooked: true }, "nothing tells");
});

test("what tells from which end chainages count is a bed of two points, or that it was turned", () => {
  const bed = up.bed;
  assert.deepEqual(
    [null, undefined, { bed: [] }, { bed: bed.slice(1, 2) }, { bed: bed.slice(1) }, { bed, bookedFromM: 40 }].map(countsFrom),
    ["", "", "", "", "from the downstream end", "from the head"],
  );
  assert.equal(upGully({ ...up, bed: bed.slice(1, 2) }, undefined, { bed: [] }).asBooked, true);
});

test("the longer bed tells which way chainages run, the gully's or the book's own", () => {
  const bedTo = (m: number) => [
    { chainageM: 0, levelM: 9 },
    { chainageM: m, levelM: 10 },
  ];
  const first = (own: { turnedAtM?: number } | undefined, gully: Parameters<typeof upGully>[2]) => {
    const { section, asBooked } = upGully(down, own, gully);
    return asBooked ? "as booked" : section.bed[0]!;
  };
  assert.deepEqual(first({ turnedAtM: 40 }, { bed: bedTo(100), bookedFromM: 100 }), { chainageM: 60, levelM: 10 }, "a part of the gully");
  assert.deepEqual(first({ turnedAtM: 40 }, { bed: bedTo(40) }), { chainageM: 0, levelM: 12 }, "a stretch that falls upstream");
  assert.deepEqual(first({ turnedAtM: 40 }, { bed: bedTo(39) }), { chainageM: 0, levelM: 10 }, "booked farther than was saved");
  assert.deepEqual(first({}, { bed: bedTo(39), bookedFromM: 39 }), { chainageM: 0, levelM: 12 });
  assert.deepEqual(first(undefined, { bed: bedTo(100), bookedFromM: 30 }), { chainageM: 0, levelM: 10 }, "never below 0");
  assert.equal(first(undefined, { bed: [] }), "as booked");
  const point = { ...down, bed: down.bed.slice(1, 2) };
  assert.deepEqual(upGully(point, undefined, { bed: [], bookedFromM: 40 }).section.bed, [{ chainageM: 15, levelM: 11.2 }], "by its dams");
});

const levels = (all: readonly (number | undefined)[], proven = true) =>
  ({
    rows: all.map((levelM) => (levelM === undefined ? {} : { levelM, basis: proven ? "levelled" : "unproven" })),
    run: {},
    open: false,
  }) as unknown as Levels;
const row = (feature: string, spot: string, more: object = {}) => ({ point: "", feature, spot, ...more }) as unknown as Row;
const check = (id: string, fields: object = {}, struck = false) =>
  ({ id, struck, fields: { kind: "check-dam", name: id, ...fields } }) as unknown as Feature;

test("a section is made of the readings on its bed and its dams, as far as they are booked", () => {
  const rows = [
    row("t", "bed", { chainageM: 20 }),
    row("t", "bed", { chainageM: 5 }),
    row("t", "bed", { chainageM: 30, struck: true }),
    row("t", "bed"),
    row("u", "bed", { chainageM: 1 }),
    row("d", "toe", { chainageM: 8 }),
    row("d", "toe"),
    row("d", "crest"),
    row("e", "crest"),
    row("s", "toe", { chainageM: 9 }),
    row("d", "peg", { chainageM: 99 }),
    row("t", "bed", { chainageM: 40 }),
    row("o", "toe"),
  ];
  assert.deepEqual(beds(rows), ["t", "u"]);
  const features = [
    check("d", { crestHeightM: 0.4 }),
    check("e", { thalweg: "t", chainageM: 12, toeLevelM: 10, targetCrestLevelM: 10.5 }),
    check("f", { thalweg: "t", chainageM: 18 }),
    check("g", { thalweg: "t" }),
    check("h", { thalweg: "other", chainageM: 3 }),
    check("o", { thalweg: "other", chainageM: 4 }),
    check("s", {}, true),
    { id: "t", struck: false, fields: { kind: "thalweg", name: "G1" } } as unknown as Feature,
  ];
  const section = sectionOf("t", rows, levels([11, 10, 12, 10.4, 9, 10.2, 10.1, 10.6, 10.5, 10, 7, undefined, 10]), features);
  assert.deepEqual(section.bed, [
    { chainageM: 5, levelM: 10 },
    { chainageM: 20, levelM: 11 },
  ]);
  assert.deepEqual([section.name, section.lengthM, section.proven], ["G1", 15, true]);
  assert.deepEqual(
    section.dams.map((d) => [d.id, d.chainageM, d.toeLevelM, d.crestLevelM, d.heightM, d.basis]),
    [
      ["d", 8, 10.1, 10.6, 0.4, "levelled"],
      ["e", 12, undefined, 10.5, 0.5, "levelled"],
      ["f", 18, undefined, undefined, undefined, "unproven"],
    ],
  );
  const unproven = sectionOf("t", rows, levels([11, 10, 12, 10.4, 9, 10.2, 10.1, 10.6, 10.5, 10, 7, undefined, 10], false), features);
  assert.deepEqual([unproven.proven, unproven.dams[0]!.basis], [false, "unproven"]);
  const none = sectionOf("t", [], levels([]), []);
  assert.deepEqual([none.lengthM, none.bed, none.name], [0, [], undefined]);
});

test("a dam is as high as measured, else as it was pegged", () => {
  assert.equal(heightOf(check("d", { crestHeightM: 0.3, toeLevelM: 10, targetCrestLevelM: 10.5 })), 0.3);
  assert.equal(heightOf(check("d", { toeLevelM: 10, targetCrestLevelM: 10.5 })), 0.5);
  assert.equal(heightOf(check("d", { toeLevelM: 10 })), undefined);
  assert.equal(heightOf(check("d", { targetCrestLevelM: 10 })), undefined);
  assert.deepEqual(
    [{ crestHeightM: 0.3 }, { crestHeightM: 0.3, crestHeightBasis: "from plan" }, { toeLevelM: 10, targetCrestLevelM: 10.5 }].map((f) =>
      isHeightPlanned(check("d", f)),
    ),
    [false, true, true],
    "measured, from a plan, pegged",
  );
});
