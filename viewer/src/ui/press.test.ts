// What is drawn while a finger is down, and after it.

import assert from "node:assert/strict";
import test from "node:test";
import { options } from "preact";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import { afterPress, drawAfterPresses } from "./press.ts";

type Step = readonly [name: string, x?: number, more?: object] | number; // an event at a place, or so many ms

const cases: readonly (readonly [name: string, steps: readonly Step[], drawn: boolean])[] = [
  ["nothing is pressed", [], true],
  ["a finger is down", [["pointerdown", 10]], false],
  [
    "it is lifted, and its click is to come",
    [
      ["pointerdown", 10],
      ["pointerup", 10],
    ],
    false,
  ],
  [
    "its click has been dealt with",
    [
      ["pointerdown", 10],
      ["pointerup", 10],
      ["click", 10],
    ],
    true,
  ],
  ["no click came", [["pointerdown", 10], ["pointerup", 10], 401], true],
  [
    "it trembles",
    [
      ["pointerdown", 10],
      ["pointermove", 25],
    ],
    false,
  ],
  [
    "it drags",
    [
      ["pointerdown", 10],
      ["pointermove", 26],
    ],
    true,
  ],
  [
    "the page scrolls under it",
    [
      ["pointerdown", 10],
      ["pointercancel", 10],
    ],
    true,
  ],
  [
    "a second finger is put down",
    [
      ["pointerdown", 10],
      ["pointerdown", 90, { isPrimary: false }],
    ],
    true,
  ],
  ["the other button of a mouse is pressed", [["pointerdown", 10, { button: 2 }]], true],
  ["it rests", [["pointerdown", 10], 2_999], false],
  ["it rests so long that its end may have been missed", [["pointerdown", 10], 3_001], true],
  ["a mouse moves without a button", [["pointermove", 10]], true],
];

for (const [name, steps, drawn] of cases)
  test(`${drawn ? "drawn" : "not drawn yet"}: ${name}`, async () => {
    const clock = new Clock();
    const before = options.debounceRendering;
    const page = new EventTarget();
    const say = ([event, clientX = 0, more]: Exclude<Step, number>) =>
      page.dispatchEvent(Object.assign(new Event(event), { isPrimary: true, button: 0, clientX, clientY: 0, ...more }));
    await withGlobals(clock.globals, async () => {
      drawAfterPresses(page);
      for (const step of steps)
        if (typeof step === "number") await clock.pass(step);
        else say(step);
      let whole = 0,
        component = 0;
      afterPress(() => whole++);
      options.debounceRendering!(() => component++);
      await Promise.resolve();
      assert.deepEqual([whole, component], drawn ? [1, 1] : [0, 0]);
      say(["pointercancel"]); // whatever it was, it ends
      await Promise.resolve();
      assert.deepEqual([whole, component], [1, 1]);
    });
    options.debounceRendering = before!;
  });
