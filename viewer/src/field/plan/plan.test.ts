// Planning on the phone: what a plan shows, and what adopting it records. What is planned is given by
// a few lines here; package planning tests the planning itself.

import assert from "node:assert/strict";
import test from "node:test";
import type { Change, Outcome, PlanRequest } from "../../compute/plan.ts";
import type { Types } from "../../compute/types/index.ts";
import { onPage } from "../../device/page.test.ts";
import { choose, settingsID } from "../../survey/setout/settings.ts";
import { property } from "../../storage/phone.test.ts";
import { layout, outcome } from "../../survey/plan/plan.test.ts";
import { boot } from "../shell/boot.tsx";

const id = (n: number) => `00000000-0000-8000-8000-00000000000${n}`;
const gully = id(1),
  planID = id(2);
const features = { [gully]: { kind: "thalweg", name: "G1", observedOn: "2026-03-01" } };
const proposed = (n: number, chainageM: number): Change => ({
  ...{ feature: id(n), kind: "check-dam", name: `Dam ${n}`, new: true },
  fields: { kind: "check-dam", name: `Dam ${n}`, status: "proposed", proposedOn: "2026-03-01", thalweg: gully, chainageM, plan: planID },
});
const changes: readonly Change[] = [
  proposed(5, 0),
  proposed(6, 10),
  {
    feature: planID,
    kind: "plan",
    new: true,
    fields: { kind: "plan", name: "Dams along G1", of: gully, plans: "dams", input: "{}", restsOn: "[]" },
  },
];

test("a gully's dams are planned at the height chosen from those compared, adopted together, and pegged from there", () => {
  const asked: PlanRequest[] = [];
  let known = false;
  return onPage(
    boot,
    {
      features,
      address: `#/plan/${gully}`,
      changed: { [planID]: [{ feature: "r", what: "Run 1 was edited since." }] },
      plan: (request, today) => {
        if (today) asked.push(request);
        const height = request.given?.["crestHeightM"] === 0.3 ? 0.3 : 0.4;
        const beside = request.compare?.["crestHeightM"]?.map((value) => ({
          value,
          says: [],
          refused: [],
          ...(value === 0.3 && { heightM: 0.3, count: 5 }),
        }));
        return outcome({
          of: { feature: gully, kind: "thalweg", name: "G1" },
          answer: { ...layout, crestHeightM: height, count: height === 0.3 ? 5 : 3 },
          ...(beside && { beside }),
          missing: ["no levels above chainage 30: book the bed there."],
          leftOut: [{ feature: "d", kind: "check-dam", name: "Old dam", why: "it is proposed" }],
          used: [{ feature: "r", kind: "level-run", name: "Run 1", on: "2026-03-01", version: "1", what: "the bed" }],
          says: ["silt behind Dam 9 will bury 0.30 m of Dam 10."],
          ...(today && { adoption: { plan: planID, known: known ? 2 : 0, says: [], changes: known ? [] : changes } }),
        });
      },
    },
    async (page) => {
      await page.reads("Along G1", "Silt will cover 32 m of the bed.", "Silt behind Dam 9 will bury 0.30 m of Dam 10.");
      await page.shows(() => page.isPressed("0.4 m: 3 dams"), "the height of the plan");
      assert.deepEqual(page.lines("Planned dams"), ["1 0.0 100.00 100.40", "2 10.0 100.40 100.80", "3, below a head 22.0 101.20 101.60"]);
      assert.equal(asked[0]?.given?.["crestHeightM"], 0.4, "what is shown is asked for");
      await page.press("0.3 m: 5 dams", "Crest height");
      await page.shows(() => asked[asked.length - 1]?.given?.["crestHeightM"] === 0.3, "asked at that height");
      await page.press("rising 0.5 %", "Silt behind the dams settles");
      await page.shows(() => asked[asked.length - 1]?.given?.["depositSlopePct"] === 0.5, "and silt slope");
      await page.press("Left out, and why: 1 item");
      await page.reads("Old dam: it is proposed.");
      await page.press("Still to measure: 1");
      await page.reads("No levels above chainage 30: book the bed there.");
      known = true;
      await page.press("Adopt 2 dams");
      await page.reads("2 dams proposed", "This plan is adopted: 2 dams are proposed, nothing changed.");
      await page.reads("What “Dams along G1” was planned on has changed: Run 1 was edited since. Plan again and adopt.");
      assert.equal(page.leads("Peg from the plan"), `#/peg/for/${gully}`);
      const dams = await page.kept("check-dam");
      assert.deepEqual(dams.map((d) => [d.fields["name"], d.fields["status"]]).sort(), [
        ["Dam 5", "proposed"],
        ["Dam 6", "proposed"],
      ]);
      const { store } = page.phone;
      const [one] = await store.history(id(5)),
        [plan] = await store.history(planID);
      assert.equal(one!.savedMS, plan!.savedMS, "one save");
      assert.equal(page.leads("Back to G1"), `#/thing/${gully}`);
      known = false;
      await page.press("Undo");
      await page.reads("Adopt 2 dams");
      const all = await store.features(property);
      assert.deepEqual(
        all.filter((f) => f.id !== gully).map((f) => [f.id, f.struck]),
        [id(5), id(6), planID].map((one) => [one, true]),
      );
    },
  );
});

test("once another plan is adopted, the dams that only an earlier one proposed are struck out together, and restored by Undo", () => {
  const dam = (plan: string) => ({
    kind: "check-dam",
    name: `Dam of ${plan}`,
    status: "proposed",
    proposedOn: "2026-03-01",
    thalweg: gully,
    plan,
  });
  const plan = () =>
    outcome({
      of: { feature: gully, kind: "thalweg", name: "G1" },
      answer: { ...layout, count: 3 },
      leftOut: ["a", "c"].map((feature) => ({ feature, kind: "check-dam", name: "Dam", why: "it is proposed" })),
      adoption: { plan: planID, known: 1, says: [], changes: [] },
    });
  return onPage(
    boot,
    { features: { ...features, a: dam("old"), b: dam("old"), c: dam(planID) }, address: `#/plan/${gully}`, plan },
    async (page) => {
      const struck = async () => (await page.kept("check-dam")).filter((f) => f.struck).map((f) => f.id);
      assert.ok(page.words.includes("Left out, and why: 1 item"), "a dam of the plan itself is not left out of it");
      await page.press("Strike out the 2 dams of the earlier plan");
      await page.reads("2 dams of the earlier plan struck out");
      assert.deepEqual((await struck()).sort(), ["a", "b"]);
      await page.press("Undo");
      await page.reads("Undone", "Strike out the 2 dams of the earlier plan");
      assert.deepEqual(await struck(), []);
    },
  );
});

test("where no plan can be made the reason is told, and other level runs are offered", () => {
  let run: string | undefined;
  return onPage(
    boot,
    {
      features,
      address: `#/plan/${gully}`,
      plan: (request) => {
        run = request.run;
        return outcome({
          refused: ["no level run of the bed closes: close one."],
          others: [{ feature: "r", kind: "level-run", name: "Run 1", on: "2026-03-01", levels: 12, fromM: 0, toM: 80 }],
        });
      },
    },
    async (page) => {
      await page.reads("No plan can be made yet.", "no level run of the bed closes: close one.");
      assert.ok(!page.presses.some((p) => p.startsWith("Adopt")));
      await page.press("Run 1, 1 March 2026, 12 levels from 0 to 80 m", "Levels from");
      await page.shows(() => run === "r", "planned by it");
    },
  );
});

test("a sketch is shown and not adopted, and a plan that cannot be asked for says why", () => {
  let problem: { reason: string; fix?: string } | undefined;
  return onPage(
    boot,
    {
      features,
      address: `#/plan/${gully}`,
      plan: (_, today) => {
        if (problem) throw problem;
        if (today) throw { reason: "the levels come from a run that is not closed, and cannot be adopted", fix: "close the run" };
        return outcome({ answer: { ...layout, count: 3, basis: "unproven" } });
      },
    },
    async (page) => {
      await page.reads(
        "The levels come from a run that is not closed, and cannot be adopted: close the run.",
        "Silt will cover 32 m of the bed.",
      );
      assert.ok(!page.presses.some((p) => p.startsWith("Adopt")));
      problem = { reason: "the crest is too high", fix: "use lower dams" };
      await page.press("rising 1 %", "Silt behind the dams settles");
      await page.reads("The crest is too high: use lower dams.");
    },
  );
});

test("whoa-boys of a track are planned by the property's table, on the side chosen", () => {
  let given: PlanRequest | undefined;
  const banks: Outcome = outcome({
    plans: "whoa-boys",
    answer: {
      banks: [{ chainageM: 20, side: "left", spacingM: 20, tooFar: false }],
      track: [
        { chainageM: 0, levelM: 101 },
        { chainageM: 40, levelM: 100 },
      ],
      cautions: [],
    },
    adoption: { plan: planID, known: 0, says: [], changes: [{ feature: id(7), kind: "whoa-boy", fields: { chainageM: 20 } }] },
  });
  const line = [
    [146.5, -20.25],
    [146.501, -20.25],
  ];
  return onPage(
    boot,
    {
      features: {
        [settingsID(property)]: choose({ table: "local", rows: [{ upToPct: 10, spacingM: 30 }], source: "Shire sheet 4" }),
        k: { kind: "track", name: "T1", observedOn: "2026-03-01", geometry: { type: "LineString", coordinates: line } },
        [id(7)]: { kind: "whoa-boy", name: "W1", status: "proposed", track: "k" },
      },
      address: "#/plan/k",
      plan: (request) => {
        given = request;
        return banks;
      },
    },
    async (page) => {
      await page.reads(
        "Along T1",
        "Spacing by the local table (Shire sheet 4)",
        "1 whoa-boy that is proposed already is moved to this plan.",
      );
      assert.deepEqual(page.lines("Planned whoa-boys"), ["1 20.0 20 left"]);
      await page.press("left", "Let the water out (looking down the track)");
      await page.shows(() => given?.given?.["side"] === "left", "the side");
      await page.press("Which end is chainage 0");
      await page.press("B: east end");
      await page.shows(() => given?.zeroAt === "end of the line", "the end");
      await page.press("Adopt 1 whoa-boy");
      await page.reads("1 whoa-boy proposed");
      assert.equal((await page.phone.store.feature(id(7)))!.fields["chainageM"], 20);
    },
  );
});

test("the peak flow to a head comes with its ± once rain and runoff are known, and nothing is recorded", () => {
  const flow = { flowM3S: 1.234, flowPlusMinusM3S: 0.21, areaHa: 12, cautions: [{ text: "Look at the culvert." }] };
  return onPage(
    boot,
    {
      features: { h: { kind: "gully-head", name: "H1", observedOn: "2026-03-01" } },
      address: "#/thing/h",
      plan: ({ given }) =>
        outcome({
          plans: "peak-flow",
          ...(given?.["intensityMmH"] === 80 && given["coefficient"] === 0.4 ? { answer: flow } : { refused: ["not enough"] }),
        }),
    },
    async (page) => {
      await page.press("Peak flow");
      await page.reads("To H1");
      assert.ok(!page.words.includes("No plan can be made yet"), "nothing is asked yet");
      await page.type("Rain of the design storm", "80");
      await page.type("Runoff coefficient", "x");
      assert.match(page.wrongWith("Runoff coefficient"), /Give a number\.$/);
      await page.type("Runoff coefficient", "0,4");
      await page.reads("1.2 ± 0.2 m³/s", "from 12.0 ha.");
      await page.press("To watch for: 1");
      await page.reads("Look at the culvert.");
      await page.type("Rain of the design storm", "8");
      await page.reads("No plan can be made yet.", "not enough");
    },
  );
});

test("a dam's notch and rock come from its own height and what is taped; what is missing is said, and nothing is recorded", () => {
  const asked: Types["rock-dam"]["input"][] = [];
  const notch = ({ flowM3S, crestLengthM, endsAboveCrestM }: Types["notch"]["input"]) => ({
    ...{ headM: 0.297, velocityMS: 1.35, abutmentHeightM: 0.447, freeboardM: 0.15, flowM3S, crestLengthM },
    ...(endsAboveCrestM ? { endsHold: false, endsLackM: 0.047 } : {}),
    cautions: [{ text: "Carry both ends into firm bank." }],
  });
  const rock = (input: Types["rock-dam"]["input"]) => {
    asked.push(input);
    if (input.downstreamRunPerRise! < 2) throw { reason: "is steeper than the stone lies", path: "downstreamRunPerRise" };
    return {
      ...{ faceStoneMM: 210.7, apronStoneMM: 210.7, apronLengthM: 0.6, apronWidthM: 2, apronThicknessM: 0.421 },
      ...{ totalRockM3: 3.61, apronM3: 0.506, cautions: [{ text: "Carry both ends into firm bank." }, { text: "Lift with care." }] },
    };
  };
  const dam = { kind: "check-dam", name: "D1", observedOn: "2026-03-01", status: "built", material: "loose rock" };
  return onPage(
    boot,
    {
      answers: { notch, "rock-dam": rock },
      features: { d: { ...dam, crestHeightM: 0.4, crestHeightBasis: "taped" }, b: { ...dam, name: "D2", material: "hay bales" } },
      address: "#/thing/d",
    },
    async (page) => {
      await page.press("Notch and rock");
      await page.reads("Of D1", "Crest 0.40 m above the bed, of loose rock.", "Give the peak flow and the length of the notch.");
      await page.type("Peak flow", "0.4");
      await page.type("Length of the notch", "1.5");
      await page.reads("Water stands 0.30 m deep in the notch", "at least 0.45 m above the bottom of the notch");
      await page.type("Lower end above the bottom of the notch", "0.4");
      await page.reads("The lower end is 0.05 m too low");
      await page.reads("For the rock give the width of the gully's bottom, the breadth of the dam and the slopes of its faces.");
      for (const [label, text] of [
        ["Width of the gully's bottom", "2"],
        ["Breadth of the dam at its ends", "0.5"],
        ["Upstream face, 1 in", "2"],
        ["Downstream face, 1 in", "1"],
      ] as const)
        await page.type(label, text);
      await page.reads("Is steeper than the stone lies.");
      await page.type("Downstream face, 1 in", "3");
      await page.reads(
        "half of it by weight 220 mm or larger",
        "Apron below the toe: 0.6 m long, 2.0 m wide, 0.42 m thick",
        "Rock to cart: 3.6 m³",
      );
      assert.deepEqual(asked[asked.length - 1], {
        ...{ material: "loose rock", crestHeightM: 0.4, bedWidthM: 2, crestBreadthM: 0.5, upstreamRunPerRise: 2, downstreamRunPerRise: 3 },
        ...{ basis: "taped", notchDepthM: 0.447, notchLengthM: 1.5, flowM3S: 0.4 },
      });
      await page.press("To watch for: 2");
      await page.reads("Lift with care.");
      await page.type("Peak flow", "x");
      await page.reads("Give the peak flow and the length of the notch.");
      await page.go("#/plan/b", "Notch and rock");
      await page.reads("Still to fill in: crest above bed.", "Rock and apron are calculated for a dam of loose rock.");
      assert.equal((await page.entries("d")).length, 1);
    },
  );
});

test("of what cannot be planned the screen says so", () =>
  onPage(boot, { features: { d: { kind: "scald", name: "S1", observedOn: "2026-03-01" } }, address: "#/plan/d" }, (page) =>
    page.reads("Nothing is planned of a scald here: dams go along a thalweg, whoa-boys along a track or fence."),
  ));
