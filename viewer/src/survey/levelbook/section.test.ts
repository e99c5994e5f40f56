import test from "node:test";
import assert from "node:assert/strict";
import type { Section } from "../../section/section.ts";
import { askForSteps, stepsOf } from "./section.ts";

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
});

test("a hump stands where it was booked, also on a bed booked from the head down", () => {
  const pair = {
    lower: "lower",
    upper: "upper",
    spacingM: 20,
    stepM: 0,
    verdict: "hump" as const,
    basis: "levelled" as const,
    hump: { chainageM: 15, aboveM: 0.7 },
  };
  assert.deepEqual(stepsOf({ pairs: [pair], cautions: [] }, up)[0]?.hump, { chainageM: 15, aboveM: 0.7 });
  assert.deepEqual(stepsOf({ pairs: [pair], cautions: [] }, down)[0]?.hump, { chainageM: 25, aboveM: 0.7 });
});
