// The drawing of a long section, as far as it can be read: its name, its words, and which of
// its lines are sure.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn } from "../device/page.test.ts";
import { draw } from "./draw.ts";
import { Profile } from "./profile.tsx";
import type { Section } from "./section.ts";

const section: Section = {
  thalweg: "t",
  lengthM: 20,
  proven: true,
  notes: [],
  bed: [
    { chainageM: 0, levelM: 100 },
    { chainageM: 10, levelM: 100.9 },
    { chainageM: 20, levelM: 100.4 },
  ],
  dams: [
    { id: "a", name: "D1", chainageM: 0, toeLevelM: 100, crestLevelM: 100.4, basis: "levelled", status: "built" },
    { id: "b", name: "D2", chainageM: 20, toeLevelM: 100.4, crestLevelM: 100.8, basis: "levelled", status: "failed" },
  ],
  pairs: [{ lower: "a", upper: "b", spacingM: 20, stepM: 0, verdict: "hump", hump: { chainageM: 10, aboveM: 0.5 } }],
};
const profile = (proven: boolean, selected: string | null) =>
  h(Profile, {
    drawing: draw(section, { widthPx: 800, fontPx: 15 }),
    name: "Gully 1",
    selected,
    proven,
    numbers: "The figures stand below.",
    along: "chainage, m",
  });

test("a long section is named, names its dams and its faults, and says what its axes are", () =>
  drawn(profile(true, null), async (page) => {
    assert.deepEqual(page.images, ["Long section of Gully 1. The figures stand below."]);
    for (const word of ["D1", "D2", "hump 0.50 m", "chainage, m", "level, m"])
      assert.ok(page.words.includes(word), `${word}: ${page.words}`);
  }));

test("a bed that is not proven is dashed, the chosen dam alone stands out, a failed one is crossed", async () => {
  for (const proven of [true, false])
    await drawn(profile(proven, "b"), async (page) => {
      assert.equal(page.find(".bed")[0]!.getAttribute("stroke-dasharray") === null, proven);
      assert.deepEqual(
        page.find(".dam.chosen").map((e) => e.getAttribute("data-dam")),
        ["b"],
      );
      assert.deepEqual(
        page.find(".crossed").map((e) => e.parentElement!.getAttribute("data-dam")),
        ["b"],
      );
      assert.equal(page.find("[data-dam=a] .standing").length, 1);
      assert.equal(page.find("[data-fault]").length, 1);
    });
});
