import assert from "node:assert/strict";
import test from "node:test";
import { pictureDraft } from "./record.ts";
import type { Chosen, Shot } from "./pendingphotos.ts";

const shot: Shot = {
  id: "a",
  property: "p",
  of: "dam",
  named: "Dam",
  purpose: "record",
  atMS: new Date("2026-11-29T10:00:00").getTime(),
  stand: { accuracyM: 4 },
  bearingDeg: 90.04,
  stage: "kept",
};
const told = { takenAt: "2024-03-01T10:22:33", place: { lon: 146.5, lat: -20.25 } };

test("of the tap a photo has the day, place and direction", () => {
  assert.deepEqual(pictureDraft(shot, new ArrayBuffer(1)).set, {
    kind: "visit",
    of: "dam",
    observedOn: "2026-11-29",
    accuracyM: 4,
    bearingDeg: 90,
  });
});

test("of another time it has what is known of that time", () => {
  const place = { geometry: { type: "Point", coordinates: [146.5, -20.25] }, positionBasis: "GPS" };
  for (const [from, want] of [
    [{ told: {}, answer: { on: "", placed: false } }, { picture: { from: "gallery" } }],
    [
      { told: {}, answer: { on: "2025-01-02", placed: false } },
      { observedOn: "2025-01-02", picture: { from: "gallery" } },
    ],
    [
      { told, answer: { on: "2024-03-01", placed: true } },
      { observedOn: "2024-03-01", ...place, picture: { from: "gallery", takenAt: told.takenAt, placed: true } },
    ],
    [
      { told, answer: { on: "2024-03-01", placed: false } },
      { observedOn: "2024-03-01", picture: { from: "gallery", takenAt: told.takenAt } },
    ],
  ] as readonly (readonly [Chosen, object])[]) {
    assert.deepEqual(pictureDraft({ ...shot, from }, new ArrayBuffer(1)).set, { kind: "visit", of: "dam", ...want });
  }
});
