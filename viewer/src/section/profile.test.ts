// The drawing of a long section, as far as it can be read: its name, its words, and which of
// its lines are sure.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn } from "../device/page.test.ts";
import { type Drawing, draw } from "./draw.ts";
import { Profile } from "./profile.tsx";
import { humped, wide } from "./sections.test.ts";

const profile = (proven: boolean, selected: string | null) =>
  h(Profile, {
    drawing: draw(humped, wide),
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

const paper: Drawing = {
  ...{ width: 800, height: 300, fontPx: 15, exaggeration: 2, bed: "M0 0", ground: "M0 1" },
  plot: { left: 50, right: 750, top: 40, bottom: 240 },
  dams: [
    { id: "s", name: "S", x: 100, toeY: 200, crestY: 160, thickness: 10, dashed: false, status: "built" },
    { id: "p", name: "P", x: 200, toeY: 190, crestY: 150, thickness: 10, dashed: false, status: "pegged", offBedY: 170 },
    { id: "u", name: "U", x: 300, toeY: 180, crestY: 180, thickness: 10, dashed: true, status: "removed" },
    { id: "f", name: "F", x: 400, toeY: 170, crestY: 130, thickness: 10, dashed: true, status: "failed" },
  ],
  crests: [
    { dam: "s", x1: 100, x2: 180, y: 160, dashed: false, thin: false },
    { dam: "p", x1: 200, x2: 280, y: 150, dashed: false, thin: true },
    { dam: "f", x1: 400, x2: 480, y: 130, dashed: true, thin: false },
  ],
  faults: [
    {
      ...{ kind: "gap", band: { x: 180, width: 20 }, x: 200, fromX: 180, y1: 160, y2: 190 },
      label: { x: 220, y: 100, text: "gap 0.2 m", leader: { x: 200, y: 175 } },
    },
    {
      ...{ kind: "drowned", band: { x: 600, width: 2 }, x: 600, fromX: 590, y1: 90, y2: 80 },
      label: { x: 620, y: 60, text: "drowned toe", leader: { x: 600, y: 85 } },
    },
  ],
  names: [{ x: 110, y: 120, text: "S", leader: { x: 105, y: 160 } }],
  xTicks: [{ at: 300, text: "10" }],
  yTicks: [{ at: 140, text: "101" }],
};

test("every line and word of a section is drawn where it belongs", () =>
  drawn(h(Profile, { drawing: paper, name: "G", selected: null, proven: true, numbers: "", along: "chainage, m" }), async (page) => {
    const attributes = (selector: string, ...names: string[]) =>
      page.find(selector).map((e) => names.map((n) => e.getAttribute(n) ?? "").join(" "));
    const d = (selector: string) => attributes(selector, "d");
    const at = (selector: string) => attributes(selector, "x", "y");
    assert.deepEqual(attributes("svg", "width", "height", "viewBox"), ["800 300 0 0 800 300"]);
    assert.deepEqual(attributes(".band", "x", "y", "width", "height"), ["181.5 40 17 200", "601.5 40 0 200"], "clear of its edges");
    assert.deepEqual([d(".axis"), d(".ytick path"), d(".xtick path")], [["M50 40V240H750"], ["M44 140H750"], ["M300 240v6"]]);
    assert.deepEqual([at(".ytick text"), at(".xtick text"), at(".axisname")], [["40 140"], ["300 248"], ["750 294", "0 40"]]);
    assert.deepEqual([d(".name path"), at(".name text")], [["M105 125V156"], ["110 120"]], "from below the name to above the crest");
    assert.deepEqual(attributes(".crest", "d", "stroke-dasharray"), ["M100 160H180 ", "M200 150H280 ", "M400 130H480 6 5"]);
    assert.deepEqual(attributes(".crest.thin", "data-crest"), ["p"]);
    const body = (x: number, toe: number, crest: number) => `M${x} ${toe}V${crest}h5L${x + 10} ${toe}z`;
    assert.deepEqual(attributes(".standing", "d", "stroke-dasharray"), [`${body(100, 200, 160)} `, `${body(400, 170, 130)} 4 3`]);
    assert.deepEqual(attributes(".planned", "d", "stroke-dasharray"), [`${body(200, 190, 150)} `]);
    assert.deepEqual([attributes(".unmeasured", "cx", "cy"), d(".offbed")], [["300 180"], ["M200 190V170"]]);
    assert.deepEqual(attributes(".doubtful", "data-dam"), ["p"]);
    assert.deepEqual(d(".crossed"), ["M296 176L314 184M314 176L296 184", "M396 126L414 174M414 126L396 174"], "beyond its corners");
    assert.deepEqual(d(".fault .step"), ["M193 160h14M193 190h14M200 160V190", "M593 90h14M593 80h14M600 90V80"]);
    assert.deepEqual(d(".fault .leader"), ["M180 160H200", "M200 175L220 86", "M590 90H600", "M600 85L620 46"]);
    assert.deepEqual(at(".fault text"), ["220 100", "620 60"]);
  }));
