import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { dueNow } from "./due.ts";
import { usualSeasons } from "./season.ts";

let made = 0;
const feature = (id: string, fields: Fields, struck = false): Feature => ({
  id,
  property: "p",
  fields,
  struck,
  clashes: [],
  saw: {},
  stamp: String(++made).padStart(16, "0"),
  unsent: 0,
});
const dam = (id: string, fields: Fields) => feature(id, { kind: "check-dam", status: "built", ...fields });
const visit = (of: string, on: string, fields: Fields) => feature(`${of}-${on}`, { kind: "visit", of, observedOn: on, ...fields });
const due = (...features: Feature[]) => dueNow(features, "2026-11-25", usualSeasons).map((d) => [d.feature.id, d.what, d.words]);
const photo = { photos: ["a".repeat(64)] };

test("a work is due when a wet season has gone over it unseen", () => {
  // November to April, looked at on 25 November 2026: the season that counts ended on 30 April 2026.
  assert.deepEqual(
    due(
      dam("seen", { builtOn: "2024-08-01" }),
      visit("seen", "2026-05-01", { condition: "holding" }),
      dam("in-the-wet", { builtOn: "2024-08-01" }),
      visit("in-the-wet", "2026-04-30", { condition: "holding" }),
      dam("new", { builtOn: "2026-08-01" }),
      dam("never", {}),
      dam("undated", {}),
      feature("v", { kind: "visit", of: "undated", condition: "sound" }),
      dam("old", { builtOn: "2025-08-01" }),
      dam("only-a-photo", { builtOn: "2025-09-01" }),
      visit("only-a-photo", "2026-06-01", photo),
      feature("planned", { kind: "check-dam", status: "proposed" }),
      feature("struck", { kind: "check-dam", status: "built" }, true),
      feature("peg", { kind: "peg" }),
      feature("head", { kind: "gully-head", observedOn: "2025-10-10" }),
    ),
    [
      ["never", "visit", "never visited"],
      ["undated", "visit", "last visit on a day not known"],
      ["old", "visit", "built 1 August 2025, not visited yet"],
      ["only-a-photo", "visit", "built 1 September 2025, not visited yet"],
      ["head", "visit", "recorded 10 October 2025, not visited yet"],
      ["in-the-wet", "visit", "not visited since the wet; last visit 30 April 2026"],
    ],
  );
});

test("a photo point is due a year after its last photo", () => {
  const point = (id: string, fields: Fields = {}) => feature(id, { kind: "photo-point", ...fields });
  assert.deepEqual(
    due(
      point("none"),
      point("own", { ...photo, observedOn: "2025-11-25" }),
      point("fresh"),
      visit("fresh", "2025-11-26", photo),
      point("judged"),
      visit("judged", "2026-11-01", { condition: "holding" }),
    ),
    [
      ["none", "photo", "no photo yet"],
      ["judged", "photo", "no photo yet"],
      ["own", "photo", "last photo 25 November 2025: retake it"],
    ],
  );
});
