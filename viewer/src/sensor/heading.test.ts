// Phones that ask their owner before they tell which way they point.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { askHeading, headingAsks } from "./heading.ts";

test("a phone that asks for its compass is asked in a tap; others tell it, or have none", async () => {
  const asking = (answer: () => Promise<string>) => Object.assign(() => undefined, { requestPermission: answer });
  for (const [name, DeviceOrientationEvent, asks, may] of [
    ["no compass", undefined, false, false],
    ["tells at once", () => undefined, false, true],
    ["allowed", asking(async () => "granted"), true, true],
    ["not allowed", asking(async () => "denied"), true, false],
    ["outside a tap", asking(() => Promise.reject(new Error("not in a tap"))), true, false],
  ] as const)
    await withGlobals({ DeviceOrientationEvent }, async () => assert.deepEqual([headingAsks(), await askHeading()], [asks, may], name));
});
