import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import type { Feature } from "../../base/entry.ts";
import { drawn } from "../../device/page.test.ts";
import { Clashing } from "./clashing.tsx";

const peg = (id: string, more: Partial<Feature> = {}): Feature => ({
  ...{ id, property: "p", struck: false, clashes: [], saw: {}, stamp: "0", unsent: 0, fields: { kind: "peg", name: id } },
  ...more,
});

test("what two people recorded differently is named with the way to settle it, unless it is struck out", async () => {
  const features = [
    peg("P1"),
    peg("P2", { clashes: ["name"] }),
    peg("P3", { clashes: ["name"], struck: true }),
    peg("P4", { struck: true }),
  ];
  await drawn(h(Clashing, { features }), async (page) => {
    assert.equal(page.words, "To settle: 1 item P2 two people recorded different values");
    assert.equal(page.leads("P2 two people recorded different values"), "#/thing/P2/settle");
  });
  await drawn(h(Clashing, { features: features.filter((f) => f.id !== "P2") }), async (page) => assert.equal(page.words, ""));
});
