import assert from "node:assert/strict";
import test from "node:test";
import type { Property } from "./store.ts";
import { afterTold, partsOf } from "./properties.ts";

const creek: Property = { id: "creek", name: "Creek" },
  ridge: Property = { id: "ridge", name: "Ridge" };
const hut: Property = { id: "hut", name: "Hut", begun: true };

test("what the server names is taken, and nothing that it does not name is forgotten", () => {
  for (const { known, about, all, want } of [
    { known: [creek], about: [creek, ridge], all: true, want: [creek, ridge] },
    { known: [creek, ridge], about: [creek], all: true, want: [creek, { ...ridge, barred: true }] },
    { known: [creek, { ...ridge, barred: true }], about: [ridge], all: false, want: [creek, ridge] },
    { known: [creek, hut], about: [creek], all: true, want: [creek, hut] }, // it has not come there yet
    { known: [creek, hut], about: [hut], all: false, want: [creek, hut] },
    { known: [hut], about: [{ id: "hut", name: "Hut Paddock" }], all: true, want: [{ id: "hut", name: "Hut Paddock" }] },
    {
      known: [creek, hut],
      about: [creek, { id: "hut", name: "Hut", into: "creek" }],
      all: true,
      want: [creek, { id: "hut", name: "Hut", into: "creek" }],
    },
    {
      known: [creek, { id: "hut", name: "Hut", into: "creek" }],
      about: [creek, { id: "hut", name: "Hut" }],
      all: true,
      want: [creek, { id: "hut", name: "Hut" }],
    },
    { known: [creek], about: [], all: false, want: [creek] },
  ])
    assert.deepEqual(afterTold(known, about, all), want);
});

test("the parts of a property are those of whatever it was merged into", () => {
  const all: Property[] = [creek, { ...hut, into: "creek" }, { id: "shed", name: "Shed", into: "creek" }, ridge];
  assert.deepEqual(partsOf(all, "creek"), ["creek", "hut", "shed"]);
  assert.deepEqual(partsOf(all, "hut"), ["creek", "hut", "shed"]);
  assert.deepEqual(partsOf(all, "ridge"), ["ridge"]);
  assert.deepEqual(partsOf(all, "elsewhere"), ["elsewhere"]);
});
