// The way from a plan to pegging it: every address names the item, whichever book is taken.

import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { pegsAlong, pegsWords, toBook, toBooksFor, toPegging } from "./pegway.ts";

const feature = (id: string, fields: Fields, struck = false) => ({ id, fields, struck }) as unknown as Feature;

test("the item whose plan is pegged is named from the choice of a book to the pegging", () => {
  const features = [
    feature("g", { kind: "thalweg", name: "Main gully" }),
    feature("k", { kind: "track", name: "Ridge track" }),
    feature("f", { kind: "fence", name: "East fence" }),
    feature("h", { kind: "gully-head", name: "Head" }),
    feature("s", { kind: "thalweg", name: "Old gully" }, true),
  ];
  assert.equal(toBooksFor("g"), "#/peg/for/g");
  const ways = ["g", "k", "f", "h", "s", "none", undefined].map((id) => {
    const along = pegsAlong(id, features);
    return [along && pegsWords(along), toBook("b", along), toPegging("b", along)];
  });
  assert.deepEqual(ways, [
    ["the dams along Main gully", "#/level/b/g", "#/peg/dams/b/g"],
    ["the whoa-boys along Ridge track", "#/level/b/k", "#/peg/whoa-boys/b/k"],
    ["the whoa-boys along East fence", "#/level/b/f", "#/peg/whoa-boys/b/f"],
    ...Array.from({ length: 4 }, () => [undefined, "#/level/b", "#/peg/with/b"]),
  ]);
});
