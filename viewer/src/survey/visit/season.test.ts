import assert from "node:assert/strict";
import test from "node:test";
import { chosenSeasons, lastEnded, monthsOn, otherMonths, seasonWords } from "./season.ts";

test("the last ended season, by walking back day after day", () => {
  const inSeason = (month: number, first: number, last: number) =>
    first <= last ? month >= first && month <= last : month >= first || month <= last;
  for (const [first, last] of [
    [11, 4],
    [12, 3],
    [1, 4],
    [10, 12],
    [6, 6],
    [5, 9],
  ] as const) {
    for (let d = new Date(Date.UTC(2024, 0, 1)); d < new Date(Date.UTC(2025, 11, 31)); d = new Date(d.getTime() + 5 * 86_400_000)) {
      // The newest day, not after d, that is not in the season while the day before it is.
      let at = new Date(d);
      const month = (t: Date) => t.getUTCMonth() + 1;
      const before = (t: Date) => new Date(t.getTime() - 86_400_000);
      while (inSeason(month(at), first, last) || !inSeason(month(before(at)), first, last)) at = before(at);
      assert.equal(
        lastEnded(d.toISOString().slice(0, 10), { firstMonth: first, lastMonth: last }),
        at.toISOString().slice(0, 10),
        `on ${d.toISOString()} with ${first} to ${last}`,
      );
    }
  }
});

test("the rest of the year", () => {
  for (let first = 1; first <= 12; first++) {
    for (let length = 1; length < 12; length++) {
      const season = { firstMonth: first, lastMonth: ((first + length - 2) % 12) + 1 };
      const months = (s: typeof season) => ((s.lastMonth - s.firstMonth + 12) % 12) + 1;
      assert.equal(months(season) + months(otherMonths(season)), 12, JSON.stringify(season));
      assert.deepEqual(otherMonths(otherMonths(season)), season);
    }
  }
  assert.equal(seasonWords(otherMonths({ firstMonth: 11, lastMonth: 4 })), "May to October");
});

test("months on", () => {
  for (const [from, by, want] of [
    ["2026-05-12", -12, "2025-05-12"],
    ["2026-03-31", -1, "2026-02-28"],
    ["2024-03-31", -1, "2024-02-29"],
    ["2026-01-15", -6, "2025-07-15"],
    ["2026-11-25", 2, "2027-01-25"],
  ] as const) {
    assert.equal(monthsOn(from, by), want, `monthsOn(${from}, ${by})`);
  }
});

test("a wet season that nobody chose is none, though an earlier version wrote the usual one", () => {
  const usual = { firstMonth: 11, lastMonth: 4 },
    own = { firstMonth: 12, lastMonth: 3 };
  assert.equal(chosenSeasons(undefined).wet, undefined);
  assert.deepEqual(chosenSeasons({ wet: usual, retakeMonths: 6, target: "runoff-50" }), { retakeMonths: 6, target: "runoff-50" });
  assert.deepEqual(chosenSeasons({ wet: own, retakeMonths: 12 }).wet, own);
  assert.deepEqual(chosenSeasons({ wet: usual, retakeMonths: 12, sure: true }).wet, usual, "it was chosen as such");
});
