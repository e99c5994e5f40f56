import assert from "node:assert/strict";
import test from "node:test";
import { compassDeg, turnDeg, turnWords } from "./compass.ts";

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
    [95, 90, "You look the same way."],
    [96, 90, "Turn 6° to the right."],
    [120, undefined, "It looked towards 120°."],
    [undefined, 10, ""],
  ] as const) {
    assert.equal(turnWords(wanted, now), want, `turnWords(${wanted}, ${now})`);
  }
});

// The axes of the phone by three rotations one after the other (W3C Device Orientation and Motion, section 3.1).
test("the upper edge of a tilted screen points as the rotations say, however the screen is turned", () => {
  const rad = Math.PI / 180;
  const turned = (v: readonly number[], about: 0 | 1 | 2, deg: number): number[] => {
    const [i, j] = [(about + 1) % 3, (about + 2) % 3] as [number, number];
    const [c, s] = [Math.cos(deg * rad), Math.sin(deg * rad)];
    const out = [...v];
    out[i] = v[i]! * c - v[j]! * s;
    out[j] = v[i]! * s + v[j]! * c;
    return out;
  };
  for (const [a, b, g] of [
    [0, 0, 0],
    [30, 20, 10],
    [200, -25, 30],
    [310, 10, -35],
  ] as const) {
    for (const screen of [0, 90, 180, 270]) {
      const edge = turned([0, 1, 0], 2, -screen); // of the screen, in the phone's own axes
      const [east, north] = turned(turned(turned(edge, 1, g), 0, b), 2, a) as [number, number];
      const want = (Math.atan2(east, north) / rad + 360) % 360;
      const got = compassDeg(a, b, g, screen);
      assert.ok(
        got >= 0 && got < 360 && Math.abs(((got - want + 540) % 360) - 180) < 1e-6,
        `${a}, ${b}, ${g} on ${screen}: ${got}, want ${want}`,
      );
    }
  }
});
