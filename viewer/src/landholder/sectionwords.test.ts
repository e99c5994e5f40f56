import assert from "node:assert/strict";
import test from "node:test";
import type { Section, SectionDam } from "../section/section.ts";
import { inWords, meetingWords } from "./sectionwords.ts";

const dam = (n: number, status: string): SectionDam => ({ id: `d${n}`, name: `Dam ${n}`, status, chainageM: 30 * n, basis: "levelled" });
const section = (dams: SectionDam[], ...verdicts: string[]): Section => ({
  thalweg: "t",
  lengthM: 120,
  proven: true,
  bed: [],
  notes: [],
  dams,
  pairs: verdicts.map((verdict, i) => ({ lower: dams[i]!.id, upper: dams[i + 1]!.id, spacingM: 30, verdict })),
});

// Of three pairs one was judged, of a dam that is built and one that is pegged: no more is claimed.
test("only dams that are built and judged are said to meet", () => {
  assert.deepEqual(
    meetingWords(section([dam(1, "built"), dam(2, "pegged"), dam(3, "pegged"), dam(4, "pegged")], "level", "not levelled", "not levelled")),
    ["Dam 1 reaches up to where the foot of Dam 2 is planned."],
  );
  assert.deepEqual(meetingWords(section([dam(1, "built"), dam(2, "built"), dam(3, "built")], "level", "not levelled")), [
    "Dam 1 reaches up to the foot of Dam 2.",
  ]);
  assert.deepEqual(meetingWords(section([dam(1, "pegged"), dam(2, "pegged")], "level")), []);
  assert.deepEqual(meetingWords(section([dam(1, "built"), dam(2, "built"), dam(3, "built")], "level", "level")), [
    "Each dam reaches up to the foot of the next one up the gully.",
  ]);
});

test("dams that meet are told only where nothing is wrong; one whose level and place disagree is named", () => {
  const dams = [dam(1, "built"), dam(2, "built")].map((d) => ({ ...d, toeLevelM: 100, crestLevelM: 100.4 }));
  const bed = [0, 120].map((chainageM) => ({ chainageM, levelM: 100 }));
  const words = (s: Section) => inWords({ ...s, bed }).map(({ text, fails }) => `${fails ? "!" : ""}${text}`);
  assert.deepEqual(words(section(dams, "level")), ["Each dam reaches up to the foot of the next one up the gully."]);
  assert.deepEqual(words(section([dams[0]!, { ...dams[1]!, disagrees: true }], "level")), [
    "!The level and the place of Dam 2 do not agree: it may stand elsewhere along the gully than drawn.",
  ]);
});
