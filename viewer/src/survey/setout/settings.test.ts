import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { choose, chosenTable, settingsID, settingsOf } from "./settings.ts";

const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  id,
  property: "p",
  fields: { kind: "settings", ...fields },
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
  ...more,
});

test("nothing is chosen until somebody chose", () => {
  assert.equal(chosenTable(undefined), undefined);
  assert.equal(chosenTable(feature("s", {})), undefined);
  assert.equal(chosenTable(feature("s", { whoaBoyTable: "of a newer page" })), undefined);
  assert.equal(chosenTable(feature("s", { whoaBoyTable: "water-bars-two-soils" })), undefined, "its soil is not said");
  assert.equal(chosenTable(feature("s", { whoaBoyTable: "local" })), undefined, "it has no rows");
});

test("what is chosen is read back as it was, and the local rows stay when another table is chosen", () => {
  const rows = [{ upToPct: 4, spacingM: 60 }];
  const local = choose({ table: "local", rows, source: " Shire office " });
  assert.deepEqual(chosenTable(feature("s", local))?.spacing, { table: "local", rows, source: "Shire office" });
  const published = choose({ table: "water-bars-two-soils", soil: "general" });
  assert.ok(!("whoaBoyRows" in published));
  assert.deepEqual(chosenTable(feature("s", { ...local, ...published }))?.spacing, { table: "water-bars-two-soils", soil: "general" });
  assert.equal(chosenTable(feature("s", published, { clashes: ["whoaBoyTable"] }))?.clash, true);
});

test("two phones write to one feature, and a property joined to another keeps its settings", () => {
  assert.equal(settingsID("0b9e"), "settings-0b9e");
  const own = feature("settings-p", {}),
    older = feature("settings-q", {});
  assert.equal(settingsOf([older, own], "p"), own);
  assert.equal(settingsOf([older], "p"), older);
  assert.equal(settingsOf([feature("settings-p", {}, { struck: true })], "p"), undefined);
});
