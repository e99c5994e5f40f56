// Which proposed whoa-boy is next down a track, and how a peg stands off it.

import assert from "node:assert/strict";
import test from "node:test";
import type { Feature, Fields } from "../../base/entry.ts";
import { bankOffPlan, bankPlannedWords, nextBankPlanned, plannedOn } from "./plannedbanks.ts";

const bank = (id: string, chainageM?: number, more: Fields = {}): Feature => ({
  id,
  property: "p",
  fields: {
    ...{ kind: "whoa-boy", name: `Whoa-boy ${id}`, status: "proposed", track: "t" },
    ...(chainageM === undefined ? {} : { chainageM }),
    ...more,
  },
  struck: false,
  clashes: [],
  saw: {},
  stamp: "0",
  unsent: 0,
});

test("proposed whoa-boys are offered down the track, and the next is the uppermost below the last level", () => {
  const others = [bank("4", 5, { status: "pegged" }), bank("5", 5, { track: "u" }), { ...bank("6", 5), struck: true }];
  const planned = plannedOn("t", [bank("2", 60), bank("10"), bank("1", 30), bank("9"), ...others]);
  assert.deepEqual(
    planned.map((p) => p.feature.id),
    ["1", "2", "9", "10"],
  );
  const next = (lastM: number | undefined) => nextBankPlanned(planned, lastM)?.feature.id;
  assert.deepEqual([next(undefined), next(0), next(30), next(60)], ["1", "1", "2", undefined]);
  assert.deepEqual(
    [planned[1]!, planned[2]!].map((p) => [
      bankPlannedWords(p),
      bankOffPlan(p, 62.5),
      bankOffPlan(p, 57),
      bankOffPlan(p, 60),
      bankOffPlan(p, undefined),
    ]),
    [
      ["planned at chainage 60.0", "2.5 m farther down than planned", "3.0 m farther up than planned", "as planned", ""],
      ["planned", "", "", "", ""],
    ],
  );
});
