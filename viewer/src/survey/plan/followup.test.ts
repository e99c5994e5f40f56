import assert from "node:assert/strict";
import { test } from "node:test";
import type { Figure } from "../../compute/sheets.ts";
import { ageLines, changeLines, edgeLines, foundWords, headLines, heldLines, spentLines } from "./followup.ts";

const figure = (value: number, unit: string, basis: Figure["basis"], plusMinus?: number): Figure => ({
  name: "x",
  label: "X",
  value,
  unit,
  basis,
  rule: "",
  ...(plusMinus === undefined ? {} : { plusMinus }),
});
const none = { sound: 0, healed: 0, needsWork: 0, failed: 0 };

test("a head says how far it cut back, how fast, and whether that is more than error", () => {
  const since = {
    from: "2024-05-01",
    to: "2026-05-01",
    retreat: figure(1.2, "m", "taped", 0.05),
    rate: figure(0.6, "m/a", "taped", 0.03),
    moreThanNoise: "yes" as const,
  };
  const head = headLines({ feature: "h", kind: "gully-head", name: "Head 1", since });
  assert.deepEqual(head.name, "Head 1");
  assert.match(
    head.lines[0]!,
    /^1\.20 ± 0\.05 m up the gully from 1 May 2024 to 1 May 2026, taped, 0\.60 ± 0\.03 .*: more than measurement error$/,
  );
  assert.match(
    headLines({ feature: "h", kind: "gully-head", since: { ...since, retreat: figure(-0.3, "m", "taped", 0.05) } }).lines[0]!,
    /^0\.30 ± 0\.05 m down the gully/,
  );
  assert.match(
    headLines({ feature: "h", kind: "gully-head", since: { ...since, retreat: figure(3, "m", "GPS", 4) } }).lines[0]!,
    /^3 ± 4 m from where it was/,
  );
  assert.equal(headLines({ feature: "h", kind: "gully-head", since, last: since }).lines.length, 2);
  assert.deepEqual(headLines({ feature: "h", kind: "gully-head", why: "visited once" }), {
    feature: "h",
    name: "Gully head",
    lines: ["visited once"],
  });
});

test("an edge and a change likewise", () => {
  const growth = { from: "2024-05-01", to: "2026-05-01", growth: figure(120, "m2", "GPS", 30), moreThanNoise: "cannot tell" as const };
  assert.match(
    edgeLines({ feature: "e", kind: "gully-edge", since: growth }).lines[0]!,
    /^120 ± 30 m² more from 1 May 2024 .* cannot be said/,
  );
  const lines = changeLines({
    feature: "d",
    kind: "check-dam",
    name: "D1",
    before: { on: "2025-05-01", ...figure(0.1, "m", "taped") },
    after: { on: "2026-05-01", ...figure(0.35, "m", "taped") },
    change: figure(0.25, "m", "taped"),
    moreThanNoise: "no",
    notes: ["The rod was another."],
  }).lines;
  assert.deepEqual(lines, [
    "+0.25 m, no more than measurement error",
    "0.10 m on 1 May 2025; 0.35 m on 1 May 2026",
    "The rod was another.",
  ]);
});

test("what held is counted, with those that nobody judged", () => {
  assert.equal(foundWords({ sound: 3, healed: 1, needsWork: 1, failed: 2 }), "3 sound, 1 healed, 1 needs work, 2 failed");
  assert.deepEqual(heldLines({ ...none, kind: "check-dam", material: "rock", built: 4, sound: 3 }), {
    feature: "",
    name: "Check dams of rock",
    lines: ["4 built, 3 judged: 3 sound"],
  });
  assert.deepEqual(heldLines({ ...none, kind: "check-dam", built: 4 }).lines, ["4 built, none judged"]);
  assert.deepEqual(ageLines({ ...none, kind: "whoa-boy", wetSeasons: 1, failed: 1 }), {
    feature: "",
    name: "Whoa-boys after 1 wet season",
    lines: ["1 failed"],
  });
});

test("what was spent says of how many works it is, and never takes what is not recorded for nothing", () => {
  const dams = { kind: "check-dam", built: 3, hours: 12.5, timed: 3, cost: 840, paid: 1 },
    banks = { kind: "whoa-boy", built: 1, timed: 0, paid: 0 },
    together = { built: 4, hours: 12.5, timed: 3, cost: 840, paid: 1 };
  assert.deepEqual(
    spentLines({ kinds: [dams, banks], together, undated: 0, currency: "XTS" }).map((l) => [l.name, ...l.lines]),
    [
      ["Check dams", "3 built: 12.50 h; 840.00 XTS, recorded of 1"],
      ["Whoa-boys", "1 built: hours not recorded; cost not recorded"],
      ["Together", "4 built: 12.50 h, recorded of 3; 840.00 XTS, recorded of 1"],
    ],
  );
  assert.match(spentLines({ kinds: [dams], together: dams, undated: 0 })[0]!.lines[0]!, /840\.00 in units not recorded/);
});
