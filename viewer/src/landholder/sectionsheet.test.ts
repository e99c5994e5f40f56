// A gully's long section for a landholder: what it says in words, and its spacings.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn } from "../device/page.test.ts";
import type { Section, SectionDam, SectionPair } from "../section/section.ts";
import { SectionSheet } from "./sectionsheet.tsx";
import { inWords } from "./sectionwords.ts";

const dam = (id: string, chainageM: number, more: Partial<SectionDam> = {}): SectionDam => ({
  id,
  name: id,
  chainageM,
  toeLevelM: 100 + chainageM / 20,
  crestLevelM: 100.4 + chainageM / 20,
  basis: "levelled",
  status: "built",
  ...more,
});
const section = (dams: SectionDam[], pairs: SectionPair[], more: Partial<Section> = {}): Section => ({
  thalweg: "t",
  name: "G1",
  lengthM: 40,
  proven: true,
  notes: [],
  bed: [
    { chainageM: 0, levelM: 100 },
    { chainageM: 40, levelM: 102 },
  ],
  dams,
  pairs,
  ...more,
});
const pair = (verdict: string, more: Partial<SectionPair> = {}): SectionPair => ({
  lower: "D1",
  upper: "D2",
  spacingM: 8,
  stepM: 0.18,
  verdict,
  ...more,
});
const texts = (s: Section) => inWords(s).map((w) => (w.fails ? "! " : "") + w.text);
const two = [dam("D1", 0), dam("D2", 8)];

test("what fails is said first, of each pair by its verdict", () => {
  assert.deepEqual(texts(section(two, [pair("gap")])), ["! Gap of 0.2\u00a0m between D1 and D2: water falls on bare bed there."]);
  assert.deepEqual(texts(section(two, [pair("hump", { hump: { chainageM: 4, aboveM: 0.5 } })])), [
    "! Between D1 and D2 the gully bed stands 0.5\u00a0m above D1: water falls on bare bed there.",
  ]);
  assert.deepEqual(texts(section(two, [pair("drowned", { stepM: -0.3 })])), [
    "Drowned toe: D1 stands 0.3\u00a0m too high for D2, so silt will bury the foot of that one.",
  ]);
  assert.equal(texts(section([dam("D1", 0, { status: "failed" }), two[1]!], [pair("gap")]))[0], "! D1 has failed.");
  assert.ok(
    texts(section([dam("D1", 0, { disagrees: true }), two[1]!], [])).some((t) =>
      t.startsWith("! The level and the place of D1 do not agree"),
    ),
  );
});

test("dams that meet are named only where they are built and nothing is wrong", () => {
  assert.deepEqual(texts(section(two, [pair("level")])), ["Each dam reaches up to the foot of the next one up the gully."]);
  const planned = section([two[0]!, dam("D2", 8, { status: "proposed" })], [pair("level")]);
  assert.ok(texts(planned).includes("D1 reaches up to where the foot of D2 is planned."), texts(planned).join("\n"));
  assert.ok(texts(planned).some((t) => t.startsWith("Dams drawn in outline are planned, not built yet")));
  const unbuilt = section([dam("D1", 0, { status: "proposed" }), two[1]!], [pair("level")]);
  assert.ok(!texts(unbuilt).some((t) => t.includes("reaches up")));
  const three = section([...two, dam("D3", 16)], [pair("level"), pair("", { lower: "D2", upper: "D3" })]);
  assert.deepEqual(texts(three)[0], "D1 reaches up to the foot of D2.");
});

test("what is not levelled, not proven or noted is said", () => {
  const { toeLevelM: _, crestLevelM: __, ...unlevelled } = dam("D2", 8);
  const all = texts(section([two[0]!, unlevelled], [], { notes: ["The run did not close.", "Levels do not agree here."] }));
  assert.ok(all.some((t) => t.startsWith("A circle marks the place of a dam whose height is not known yet: D2.")));
  assert.ok(all.includes("The run did not close.") && !all.includes("Levels do not agree here."));
  assert.ok(!texts(section([two[0]!, { ...unlevelled, heightM: 0.4 }], [])).some((t) => t.startsWith("A circle")));
  assert.ok(texts(section(two, [], { proven: false })).some((t) => t.startsWith("What is dashed is not yet checked")));
  assert.ok(!texts(section(two, [])).some((t) => t.startsWith("What is dashed")));
});

test("a dam whose top is not levelled is drawn as planned or as measured, and never as measured where nobody did", () => {
  const top = (more: Partial<SectionDam>) => texts(section([dam("D1", 0, { crestLevelM: undefined, heightM: 0.4, ...more })], []));
  assert.deepEqual(top({ heightPlanned: true }), ["Top not levelled yet, drawn as high as it was planned: D1."]);
  assert.deepEqual(top({}), ["Top not levelled yet, drawn as high as it was measured by hand: D1."]);
  return drawn(
    h(SectionSheet, {
      section: section([dam("D1", 0, { crestLevelM: undefined, heightM: 0.4, heightPlanned: true })], []),
      selected: null,
    }),
    async (page) => {
      await page.reads("Top not levelled yet");
      assert.match(page.find("tbody tr")[0]!.textContent!, /0\.4\u00a0m, planned/);
    },
  );
});

test("the drawing of a gully without dams leads to no table", async () => {
  const title = async (dams: SectionDam[]) => {
    let found = "";
    await drawn(h(SectionSheet, { section: section(dams, []), selected: null }), async (page) => {
      found = page.find(".paper")[0]!.innerHTML;
    });
    return found.includes("Its spacings are in the table below.");
  };
  assert.deepEqual([await title([]), await title(two)], [false, true]);
});

test("the spacings stand in a table, each with what is wrong with it", () =>
  drawn(
    h(SectionSheet, {
      section: section(
        [
          dam("D2", 8, { plusMinusM: 0.07 }),
          dam("D1", 0),
          dam("D3", 20, { toeLevelM: undefined, crestLevelM: undefined, heightM: 0.45, status: "proposed" }),
        ],
        [pair("gap", { plusMinusM: 0.07 }), pair("", { lower: "D2", upper: "D3", spacingM: 12 })],
      ),
      selected: null,
    }),
    async (page) => {
      await page.reads("Gap of 0.2");
      const rows = page.lines("").length ? page.lines("") : page.find("tbody tr").map((r) => r.textContent!.replace(/\u00a0/g, " "));
      assert.equal(rows.length, 3);
      assert.match(rows[0]!, /^D1\s*0 m\s*0\.4 m\s*8\.0 ± 0\.1 m; gap of 0\.2 m$/);
      assert.match(rows[1]!, /^D2\s*8\.0 ± 0\.1 m\s*0\.4 m\s*12 m; foot of D3 not levelled yet$/);
      assert.match(rows[2]!, /^D3\s*20 m\s*0\.45 m, planned\s*$/);
    },
  ));

test("what is not known of a dam or of two of them is said by its name", async () => {
  const bare = (id: string, chainageM: number, more: Partial<SectionDam> = {}) =>
    dam(id, chainageM, { toeLevelM: undefined, crestLevelM: undefined, ...more });
  const rows = async (s: Section) => {
    let found: string[] = [];
    await drawn(h(SectionSheet, { section: s, selected: null }), async (page) => {
      found = page.find("tbody tr").map((r) => [...r.children].map((cell) => cell.textContent!.replace(/\u00a0/g, " ")).join(" | "));
    });
    return found;
  };
  const lower = async (low: SectionDam, up: SectionDam, more: Partial<SectionPair> = {}) =>
    (await rows(section([low, up], [pair("", more)])))[0]!.split(" | ")[3];
  const up = dam("D2", 8);
  assert.equal(await lower(dam("D1", 0), up), "8 m; not yet checked by a closed level run");
  assert.equal(await lower(bare("D1", 0), up), "8 m; top of D1 not levelled yet");
  assert.equal(await lower(bare("D1", 0, { status: "proposed" }), up), "8 m; D1 is not built yet");
  assert.equal(await lower(bare("D1", 0), bare("D2", 8)), "8 m; top of D1 not levelled yet; foot of D2 not levelled yet");
  const judged = async (verdict: string, stepM: number) => (await rows(section(two, [pair(verdict, { stepM })])))[0]!.split(" | ")[3];
  assert.equal(await judged("level", 0), "8 m; OK");
  assert.equal(await judged("hump", 0.3), "8 m; the ground between stands higher than both");
  assert.equal(await judged("drowned", -0.3), "8 m; drowned toe, 0.3 m too high: silt will bury its foot");
  const heights = async (more: Partial<SectionDam>) => (await rows(section([dam("D1", 0, more)], [])))[0]!.split(" | ").slice(1, 3);
  assert.deepEqual(await heights({ toeLevelM: 100, crestLevelM: 101.25, plusMinusM: 0.3 }), ["0.0 ± 0.3 m", "1.3 m"]);
  assert.deepEqual(await heights({ toeLevelM: 100, crestLevelM: 101 }), ["0 m", "1.0 m"]);
  assert.deepEqual(await heights({ toeLevelM: 100, crestLevelM: 100, heightM: 0.75 }), ["0 m", "0.75 m"]);
  assert.deepEqual(await heights({ toeLevelM: undefined, heightM: 0.5 }), ["0 m", "0.5 m"]);
  assert.deepEqual(await heights({ crestLevelM: undefined, plusMinusM: 0 }), ["0 m", ""]);
});

test("how long and how far from true the drawing is, is said", async () => {
  const said = async (fromM: number, toM: number, riseM: number) => {
    let words = "";
    const bed = [
      { chainageM: fromM, levelM: 100 },
      { chainageM: toM, levelM: 100 + riseM },
    ];
    await drawn(h(SectionSheet, { section: section([], [], { bed }), selected: null }), async (page) => {
      words = page.find("figcaption p")[0]!.textContent!.replace(/\u00a0/g, " ");
    });
    return words;
  };
  assert.match(
    await said(100, 140, 1),
    /^40 m along the gully bed\. Water runs to the left\. Heights are drawn \d+ times larger than lengths\.$/,
  );
  assert.match(await said(0, 4, 4), /^4 m along the gully bed\. .* Heights and lengths are to the same scale\.$/);
});

test("a gully of which nothing is to be said has no list of findings", () =>
  drawn(h(SectionSheet, { section: section([], []), selected: null }), async (page) => assert.deepEqual(page.find(".findings"), [])));

test("how far silt could fill up is told of planned dams that have such a line, and only of them", () => {
  const planned = (id: string, chainageM: number, more: Partial<SectionDam> = {}) => dam(id, chainageM, { status: "proposed", ...more });
  const outline = (dams: SectionDam[]) => texts(section(dams, [])).find((t) => t.startsWith("Dams drawn in outline"));
  const all = "Dams drawn in outline are planned, not built yet";
  const none = { toeLevelM: 100.5, crestLevelM: 100.5 };
  assert.equal(outline([planned("D1", 8), planned("D2", 20)]), `${all}; the thin line is how far silt could fill up behind them.`);
  assert.equal(
    outline([planned("D1", 8), planned("D2", 20, none)]),
    `${all}; where a thin line runs from the top of one, it is how far silt could fill up behind it.`,
  );
  assert.equal(outline([planned("D1", 8, none)]), `${all}.`);
  assert.equal(outline([planned("D1", 8, { toeLevelM: undefined, crestLevelM: undefined })]), undefined, "it is a circle");
  assert.equal(outline([planned("D1", 8, { toeLevelM: undefined, crestLevelM: undefined, heightM: 0.4 })])?.startsWith(all), true);
  assert.equal(outline(two), undefined);
});
