// The checks below a level book: sums, misclosure, and why it does not close.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn } from "../device/page.test.ts";
import type { Levels } from "../survey/levelbook/levels.ts";
import { Checks } from "./levelbook.tsx";

type Run = Levels["run"];
const levels = (run: object, open = false): Levels => ({
  ...{ rows: [], sightM: undefined, open },
  run: {
    ...{ rows: [], sums: { bs: 3.5, fs: 3.25, rise: 0.5, fall: 0.25 }, arithmeticOK: true, closed: true },
    ...{ closures: [], reasons: [], cautions: [], ...run },
  } as unknown as Run,
});
const said = async (is: Levels | null) => {
  let words = "";
  await drawn(h(Checks, { levels: is }), async (page) => {
    words = page.words.replace(/\u00a0/g, " ");
  });
  return words;
};
const closing = async (run: object) => / ((?:Worst m|M)isclosure [^.]*\.\d.*)$/.exec(await said(levels(run)))?.[1];

test("a whole book has its sums, and one that is open says when it will have them", async () => {
  assert.equal(await said(null), "");
  const whole = await said(levels({ reasons: ["It does not end where it began."] }));
  for (const words of [
    "Backsights less foresights 3.500 − 3.250 = 0.250",
    "Rises less falls 0.500 − 0.250 = 0.250",
    "The arithmetic agrees:",
    "It does not end where it began.",
  ])
    assert.ok(whole.includes(words), whole);
  assert.ok(!whole.includes("isclosure"), whole);
  const open = await said(levels({ reasons: ["It does not end where it began."] }, true));
  assert.ok(open.includes("The sums are shown once the book ends with a foresight.") && !open.includes("Backsights"), open);
  assert.ok(!open.includes("It does not end where it began."), "of a book that goes on");
});

test("the misclosure is told with its way, what is allowed, and how far", async () => {
  const row = (more: object) => ({ row: 1, closed: true, misclosureM: 0.004, allowableM: 0.007, ...more });
  assert.equal(await closing({ misclosureM: 0.004, closures: [row({})] }), "Misclosure 4.0 mm high.");
  assert.equal(await closing({ misclosureM: -0.004, allowableM: 0.007 }), "Misclosure 4.0 mm low; 7.0 mm allowed.");
  assert.equal(await closing({ misclosureM: 0 }), "Misclosure 0.0 mm.");
  assert.equal(
    await closing({ closures: [row({}), row({ row: 2, misclosureM: -0.006 })], rows: [{ point: "BM1" }, { point: "BM2" }] }),
    "Worst misclosure 6.0 mm low, as far as BM2; 7.0 mm allowed.",
  );
  assert.equal(
    await closing({ closures: [row({ misclosureM: 0.002 })], rows: [{ point: "BM1" }] }),
    "Misclosure 2.0 mm high, as far as BM1; 7.0 mm allowed.",
  );
});
