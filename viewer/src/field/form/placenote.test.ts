// What is said of a position while it is averaged, by how good it is and what became of it.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn } from "../../device/page.test.ts";
import type { Fix } from "../../sensor/fix.ts";
import { roughWords } from "../../sensor/receiver.ts";
import { type Placing, unplaced } from "../../survey/form/position.ts";
import { PlaceNote } from "./placenote.tsx";

const fix = (accuracyM: number, more: Partial<Fix> = {}): Fix =>
  ({ lon: 146.5, lat: -20.25, accuracyM, count: 12, takenMS: Date.UTC(2026, 0, 1), ...more }) as Fix;
const none = "GPS is too poor to save a position. It is saved without one, which can be added later.";
const poor = "GPS is poor. Wait here under open sky, or note a taped distance from something already marked.";
const refused = "GPS is too poor to save a position. Wait under open sky, or allow precise location in the browser's settings.";

test("a position is said with how good it is, and what to do where it is not", async () => {
  const cases: readonly [Partial<Placing>, string, string, anyway?: boolean][] = [
    [{}, "", "Waiting for GPS…"],
    [{}, "There is no receiver.", "No position: There is no receiver. It is saved without one, which can be added later."],
    [{}, roughWords(900), `No position: ${roughWords(900)} It is saved without one, which can be added later.`, true],
    [{ anyway: true }, roughWords(900), `No position: ${roughWords(900)} It is saved without one, which can be added later.`],
    [{ mean: fix(4) }, "", "±4 m mean of 12 fixes"],
    [{ mean: fix(10) }, "", "±10 m mean of 12 fixes"],
    [{ mean: fix(4, { count: 1, heightM: 231.6 }) }, "", "±4 m mean of 1 fix; GPS height 232 m, a label only"],
    [{ mean: fix(4), stored: fix(4) }, "", "±4 m mean of 12 fixes, still getting better while this is open"],
    [{ mean: fix(4), stored: fix(4), left: true }, "", "±4 m mean of 12 fixes, as it was before you moved on"],
    [{ mean: fix(11) }, "", `±11 m mean of 12 fixes ${poor}`],
    [{ mean: fix(50) }, "", `±50 m mean of 12 fixes ${poor}`],
    [{ mean: fix(51) }, "", `±51 m mean of 12 fixes ${refused}`, true],
    [{ mean: fix(51), anyway: true }, "", "±51 m mean of 12 fixes"],
    [{ mean: fix(2_000_000) }, "", `±2000 km mean of 12 fixes ${none}`],
    [
      { mean: fix(4), stored: fix(4), jumpedM: 0 },
      "",
      "±4 m mean of 12 fixes, still getting better while this is open GPS jumped 0 m after this was saved. It is now where GPS has it since: check it on the map.",
    ],
  ];
  for (const [placing, trouble, words, anyway = false] of cases) {
    let taken = 0;
    const averaging = { placing: { ...unplaced, ...placing }, trouble, tell: () => undefined, takeAnyway: () => taken++ };
    await drawn(h(PlaceNote, averaging), async (page) => {
      const said = page.words.replace(/, [^,;]* ago/, "").replace(" Save anyway", "");
      assert.equal(said, words);
      assert.equal(/ (s|min) ago/.test(page.words), Boolean(placing.mean && !placing.stored), "one that is saved keeps its time");
      assert.deepEqual(page.presses, anyway ? ["Save anyway"] : [], words);
      if (anyway) await page.press("Save anyway");
      assert.equal(taken, anyway ? 1 : 0);
    });
  }
});
