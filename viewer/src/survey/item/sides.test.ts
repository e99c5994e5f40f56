import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { sideWords, whoWords } from "./sides.ts";

test("a place that two people gave says how it was found and how good it is, or that nobody knows", () => {
  const dam: Feature = {
    id: "d",
    property: "p",
    fields: { kind: "check-dam" },
    struck: false,
    clashes: ["geometry"],
    saw: {},
    stamp: "0",
    unsent: 0,
  };
  const side = (lon: number, set: Fields, before: Fields = {}) => ({
    entry: String(lon),
    author: "R. Field",
    seenAt: "2026-05-13T10:42:00Z",
    device: "a",
    before,
    set,
    value: { type: "Point", coordinates: [lon, -20] },
  });
  const sides = [
    side(146, { accuracyM: 3.2, positionBasis: "GPS" }),
    side(146.0001, { positionBasis: "drawn on the map" }),
    side(146.0002, {}, { accuracyM: 6, positionBasis: "GPS" }),
  ];
  const words = (i: number) =>
    sideWords(
      dam,
      { field: "geometry", sides: [sides[i]!] } as unknown as Parameters<typeof sideWords>[1],
      sides[i]! as unknown as Parameters<typeof sideWords>[2],
      [dam],
    );
  assert.equal(words(0), "A point, by GPS, ±4 m");
  assert.equal(words(1), "A point, drawn on the map, ± not known");
  assert.equal(words(2), "A point, by GPS, ±6 m", "as it stands with what the entry left as it was");
});

test("a side says who recorded it and when, or that nobody knows", () => {
  const side = (author: string, seenAt: string) => ({ author, seenAt }) as Parameters<typeof whoWords>[0];
  const at = new Date(2026, 4, 13, 10, 42);
  assert.equal(whoWords(side("R. Field", at.toISOString()), at), "R. Field, 10:42");
  assert.equal(whoWords(side("", "1970-01-01T00:00:00Z"), at), "Somebody, no date");
});
