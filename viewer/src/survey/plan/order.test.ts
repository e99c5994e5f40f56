import assert from "node:assert/strict";
import { test } from "node:test";
import type { Place } from "../../compute/order.ts";
import { billWords, inSteps, proposedWords, worksWords } from "./order.ts";

const place = (feature: string, step: Place["step"]): Place => ({
  feature,
  kind: "track",
  step,
  why: [],
  first: [],
  works: [],
  record: [],
});

test("places stand under their steps, numbered through", () => {
  const steps = inSteps([place("a", "prevention"), place("b", "prevention"), place("c", "grass")]);
  assert.deepEqual(
    steps.map(({ head, places }) => [head, places.map((p) => `${p.number} ${p.feature}`)]),
    [
      ["Prevention, and the cause upslope", ["1 a", "2 b"]],
      ["Grass on bare ground", ["3 c"]],
    ],
  );
  assert.deepEqual(inSteps([]), []);
});

test("works are counted by how far they have come", () => {
  assert.equal(worksWords([]), "");
  assert.equal(
    worksWords([
      { kind: "check-dam", status: "proposed", count: 3 },
      { kind: "whoa-boy", status: "built", count: 1 },
    ]),
    "3 check dams proposed, 1 whoa-boy built",
  );
});

test("a bill says what is not known, and never counts it as nothing", () => {
  assert.equal(billWords({ works: 3, hours: 12.5, noHours: 0, noCost: 3 }, "XTS"), "12.50 h; cost not known.");
  assert.equal(
    billWords({ works: 3, noHours: 3, cost: 840, noCost: 1 }, undefined),
    "hours not known; 840.00 in units not recorded at the least: 1 of 3 not known.",
  );
  const planned = { kind: "check-dam", proposed: 3, pegged: 1, figures: [], takes: [], without: 0 };
  assert.equal(proposedWords(planned, undefined), "4 check dams: 3 proposed, 1 pegged.");
  assert.equal(
    proposedWords({ ...planned, pegged: 0, bill: { works: 3, hours: 2, noHours: 0, cost: 9, noCost: 0 } }, "XTS"),
    "3 check dams: 3 proposed. 2.00 h; 9.00 XTS.",
  );
});
