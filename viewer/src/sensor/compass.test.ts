import assert from "node:assert/strict";
import test from "node:test";
import { turnDeg, turnWords } from "./compass.ts";

test("turning by what is said ends at the wanted bearing, by the shorter way", () => {
  for (let wanted = 0; wanted < 360; wanted += 7) {
    for (let now = 0; now < 360; now += 11) {
      const turn = turnDeg(wanted, now);
      assert.ok(turn > -180 && turn <= 180, `turnDeg(${wanted}, ${now}) = ${turn}`);
      assert.equal((now + turn + 720) % 360, wanted, `turnDeg(${wanted}, ${now}) = ${turn}`);
    }
  }
});

test("words", () => {
  for (const [wanted, now, want] of [
    [90, 80, "Turn 10° to the right."],
    [350, 10, "Turn 20° to the left."],
    [2, 358, "You look the same way."],
    [120, undefined, "It looked towards 120°."],
    [undefined, 10, ""],
  ] as const) {
    assert.equal(turnWords(wanted, now), want, `turnWords(${wanted}, ${now})`);
  }
});
