// Visits at their bounds.

import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { recounted } from "./cover.ts";
import { dueNow } from "./due.ts";
import { formed, isBegun, isBlank, newForm, statusChange, visitDrafts } from "./form.ts";
import { newestOf } from "./newest.ts";
import { implausibleIn } from "./plausibility.ts";
import { retreatInput, retreatWords, type Retreat } from "./retreat.ts";
import { chosenSeasons, usualSeasons } from "./season.ts";
import { counted, noCount } from "./steppoints.ts";
import { judged, visitsByThing, type PastVisit } from "./visits.ts";

const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  ...{ id, property: "p", fields, struck: false, clashes: [], saw: {}, stamp: "018f00000000", unsent: 0 },
  ...more,
});
const visit = (more: Partial<PastVisit> = {}): PastVisit => ({
  id: "v",
  on: "2026-03-01",
  stamp: "",
  condition: "",
  photos: [],
  photoRecords: [],
  ...more,
});
const blank = newForm("v", []);

test("a form is blank while nothing at all is in it", () => {
  assert.equal(isBlank(blank), true);
  for (const one of [
    { condition: "sound" },
    { sediment: "0.3" },
    { headOffset: "5" },
    { headPlace: {} },
    { count: counted(noCount, { do: "point", point: "bare" }) },
    { notes: "x" },
  ] as const) {
    assert.equal(isBlank({ ...blank, ...one }), false, JSON.stringify(one));
  }
  const carried = newForm("v", [visit({ condition: "sound" })]);
  assert.deepEqual([isBegun(blank), isBegun(carried)], [false, false], "what was found before is not given now");
  for (const one of [{ asked: true }, { built: true }, { built: false }, { notes: "x" }] as const)
    assert.equal(isBegun({ ...carried, ...one }), true, JSON.stringify(one));
  assert.equal(newForm("v", [visit({ condition: "sound" }), visit()]).condition, "sound", "the last that judged it");
  assert.equal(newForm("v", [visit({ condition: "sound" }), visit({ coverPct: 5 })]).condition, "sound");
});

test("a work stands again only where that was said of one that failed and is sound", () => {
  const dam = (status: string) => feature("d", { kind: "check-dam", status });
  const form = { ...blank, condition: "sound", standsAgain: true };
  assert.equal(statusChange(form, dam("failed")), "built");
  assert.equal(statusChange({ ...form, standsAgain: false }, dam("failed")), undefined);
  assert.equal(statusChange({ ...form, condition: "needs work" }, dam("failed")), undefined);
  assert.equal(statusChange(form, dam("built")), undefined);
  assert.equal(statusChange({ ...form, condition: "failed" }, dam("built")), "failed");
  const chosen = (condition: string, standsAgain: boolean) => formed({ ...form, standsAgain }, { do: "condition", condition }).standsAgain;
  assert.deepEqual([chosen("sound", true), chosen("sound", false), chosen("failed", true)], [true, false, false]);
});

test("plots that were judged are their mean, and each is a share", () => {
  const plots = [40, 0, 100].reduce((count, pct) => counted(count, { do: "plot", pct }), counted(noCount, { do: "way", way: "plots" }));
  assert.deepEqual(plots.plotsPct, [40, 0, 100]);
  assert.deepEqual(
    counted(plots, { do: "plot", pct: 100.1 }).plotsPct.length + counted(plots, { do: "plot", pct: -0.1 }).plotsPct.length,
    6,
  );
  const [draft] = visitDrafts({ ...blank, count: plots }, feature("p", { kind: "cover-plot" }), "2026-03-01", undefined);
  assert.deepEqual([draft!.set!["coverPct"], draft!.set!["coverPlotsPct"]], [46.667, [40, 0, 100]]);
  let walked = noCount;
  for (let i = 0; i < 5001; i++) walked = counted(walked, { do: "point", point: "cover" });
  assert.equal(walked.points.length, 5000);
  const counts = (fields: Fields) => recounted(feature("v", fields));
  assert.deepEqual(
    [counts({ coverHits: 5 }), counts({ coverPoints: 9 }), counts({ coverHits: 5, coverPoints: 9 })],
    [undefined, undefined, { points: { hits: 5, total: 9 } }],
  );
});

test("what is asked about before a visit is saved", () => {
  const asks = (thing: Feature, typed: Partial<typeof blank>, visits: readonly PastVisit[] = []) =>
    implausibleIn({ ...blank, ...typed }, thing, visits).map((d) => d.question);
  const pegged = feature("d", { kind: "check-dam", toeLevelM: 100.2, targetCrestLevelM: 100.65 });
  assert.deepEqual(asks(pegged, { sediment: "0.45" }), []);
  assert.deepEqual(asks(pegged, { sediment: "0.5" }), ["0.5 m of sediment? The crest is 0.45 m above the bed."]);
  for (const fields of [{ toeLevelM: 100 }, { targetCrestLevelM: 100 }, { crestHeightM: 0 }, {}])
    assert.deepEqual(asks(feature("d", { kind: "check-dam", ...fields }), { sediment: "3" }), [], JSON.stringify(fields));
  const head = feature("h", { kind: "gully-head" });
  const last = [visit({ headOffsetM: 5 }), visit({ condition: "sound" })];
  const asked = (headOffset: string, visits: readonly PastVisit[]) => asks(head, { headOffset }, visits).length;
  assert.deepEqual(
    ["49.9", "50", "0.51", "0.5"].map((m) => asked(m, last)),
    [0, 1, 0, 1],
  );
  assert.deepEqual(
    ["100", "100.1"].map((m) => asked(m, [])),
    [0, 1],
  );
  assert.deepEqual(
    ["100", "100.1"].map((m) => asked(m, [visit({ headOffsetM: 0 })])),
    [0, 1],
    "ten times nothing is nothing",
  );
});

test("visits are those to an item that stand, and judged those at which somebody looked", () => {
  const to = (of: string, more: Fields = {}, also: Partial<Feature> = {}) =>
    feature("v", { kind: "visit", of, observedOn: "2026-03-01", ...more }, also);
  const found = visitsByThing([to("d"), to("d", {}, { struck: true }), to(""), feature("n", { kind: "peg", of: "d" })]);
  assert.deepEqual([found.size, found.get("d")!.length], [1, 1]);
  for (const one of [
    { condition: "sound" },
    { sedimentDepthM: 0 },
    { headOffsetM: 0 },
    { coverPct: 0 },
    { head: { position: [1, 2] } },
  ] as const)
    assert.equal(judged(visit(one)), true, JSON.stringify(one));
  assert.equal(judged(visit({ photos: ["a"] })), false);
  const plot = feature("c", { kind: "cover-plot", observedOn: "2026-03-01", coverPct: 5, sedimentDepthM: 9 });
  assert.deepEqual(
    newestOf(plot, [visit({ coverPct: 72 })])!.measured,
    [{ name: "coverPct", value: 72, on: "2026-03-01", visit: "v" }],
    "of one day the visit's stands",
  );
});

test("the photos of the day of a visit are part of it, whoever took them and whenever they came", () => {
  const at = (id: string, on: string | undefined, more: Fields) =>
    feature(id, { kind: "visit", of: "d", ...(on && { observedOn: on }), ...more });
  const [a, b, c] = ["a", "b", "c"].map((letter) => letter.repeat(64)) as [string, string, string];
  const listed = (...features: Feature[]) =>
    (visitsByThing(features).get("d") ?? []).map((l) => `${l.id}: ${l.photos.map((sha) => sha[0]).join("")} ${l.photoRecords.join(" ")}`);
  const photo = at("2", "2026-03-01", { photos: [a], bearingDeg: 121 });
  assert.deepEqual(listed(photo), ["2: a "], "alone it is a record");
  const visit = at("1", "2026-03-01", { condition: "sound" });
  assert.deepEqual(listed(photo, visit), ["1: a 2"]);
  assert.deepEqual(listed(at("0", "2026-03-01", { photos: [b] }), photo, visit), ["1: ba 0 2"], "one taken before too");
  assert.deepEqual(listed(photo, visit, at("3", "2026-03-02", { photos: [c] }), at("4", undefined, { photos: [b] })), [
    "4: b ",
    "1: a 2",
    "3: c ",
  ]);
  const second = at("3", "2026-03-01", { condition: "failed", photos: [c] });
  assert.deepEqual(
    listed(visit, photo, second, at("4", "2026-03-01", { photos: [b] })),
    ["1: a 2", "3: cb 4"],
    "of two visits each has those after it",
  );
  assert.deepEqual(listed(visit, at("3", "2026-03-01", { notes: "x" })), ["1:  ", "3:  "], "a note is no photo");
  assert.deepEqual(listed({ ...visit, struck: true }, photo), ["2: a "], "one that is struck out takes no photo with it");
});

test("a head has cut back by what two days say, and the wet season is the officer's own", () => {
  const head = (more: Fields) => feature("h", { kind: "gully-head", ...more });
  const at = { geometry: { type: "Point", coordinates: [146.5, -20.25] }, accuracyM: 4 };
  const now = { on: "2026-05-01", head: { position: [146.5, -20.2501] as const, accuracyM: 3 } };
  assert.equal(retreatInput(head(at), [], now), undefined, "nobody knows when it was marked");
  assert.equal(retreatInput(head({ observedOn: "2025-05-01" }), [], now), undefined, "nor where");
  const input = retreatInput(head({ ...at, observedOn: "2025-05-01" }), [], now)!;
  assert.deepEqual([input.visits.length, "wetSeason" in input], [2, false]);
  const tape = { on: "2026-05-01", headOffsetM: 11 };
  assert.equal(retreatInput(head({}), [visit({ on: "", headOffsetM: 12 })], tape), undefined, "nor what a day not known is compared with");
  assert.deepEqual(retreatInput(head({ ...at, observedOn: "2025-05-01" }), [], now, { firstMonth: 11, lastMonth: 4 })!.wetSeason, {
    firstMonth: 11,
    lastMonth: 4,
  });
  const still = {
    basis: "taped",
    from: "2025-05-01",
    steps: [{ retreatM: 0, from: "2025-05-01", moreThanNoise: "no" }],
  } as unknown as Retreat;
  assert.equal(retreatWords(still).moved, "0.00 m back since 1 May 2025");
  const kept = (firstMonth: number, lastMonth: number) => "wet" in chosenSeasons({ ...usualSeasons, wet: { firstMonth, lastMonth } });
  assert.deepEqual([kept(11, 4), kept(10, 4), kept(11, 3)], [false, true, true]);
});

test("a photo point is due by its own photo too", () => {
  const sha = "ab".repeat(32);
  const point = (more: Fields) => feature("pp", { kind: "photo-point", observedOn: "2026-03-01", ...more });
  const due = (thing: Feature) => dueNow([thing], "2026-05-01", usualSeasons).length;
  assert.deepEqual([due(point({})), due(point({ photos: [sha] }))], [1, 0]);
});
