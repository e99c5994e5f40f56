import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { codeIn, codeScanned, mayNot, whereNow } from "./code.ts";

test("a code is read from what was typed, pasted or scanned", () => {
  const cases = [
    ["R3D5X-XZCXM", "R3D5X-XZCXM"],
    ["  r3d5x-xzcxm\n", "R3D5X-XZCXM"],
    ["https://office.example/field/#/enrol/r3d5x-xzcxm", "R3D5X-XZCXM"],
    ["#/enrol/r3d5x%2Dxzcxm", "R3D5X-XZCXM"],
    ["#/enrol/%E0%A4%A", "%E0%A4%A"],
    ["", ""],
  ] as const;
  for (const [text, want] of cases) assert.equal(codeIn(text), want, text);
});

test("what a camera reads is taken when it is a code of the office", () => {
  assert.equal(codeScanned("https://office.example/field/#/enrol/r3d5x-xzcxm"), "R3D5X-XZCXM");
  assert.equal(codeScanned("R3D5X-XZCXM"), "R3D5X-XZCXM");
  for (const other of ["", "https://shop.example/tyres", "4006381333931", "https://office.example/field/#/enrol/"]) {
    assert.equal(codeScanned(other), undefined, other);
  }
});

test("nobody enrols where the browser would not keep what is recorded", () => {
  const good = { secure: true, appleMobile: false, installed: false };
  assert.equal(mayNot(good), undefined);
  assert.match(mayNot({ ...good, secure: false })!.todo, /https/);
  assert.match(mayNot({ ...good, appleMobile: true })!.todo, /Home Screen/);
  assert.equal(mayNot({ ...good, appleMobile: true, installed: true }), undefined);
});

test("whose browser forgets what a tab keeps is known by what it says of itself", async () => {
  const agent = (userAgent: string, more: object = {}) => ({ userAgent, ...more });
  const [iphone, mac] = ["Mozilla/5.0 (iPhone; CPU iPhone OS 19_0 like Mac OS X)", "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7)"];
  const android = "Mozilla/5.0 (Linux; Android 14; K)";
  for (const [navigator, fromHome, appleMobile, installed] of [
    [agent(iphone), false, true, false],
    [agent(iphone, { standalone: false }), false, true, false],
    [agent(iphone, { standalone: true }), false, true, true],
    [agent(mac, { maxTouchPoints: 5 }), false, true, false], // a tablet that calls itself a computer
    [agent(mac, { maxTouchPoints: 5 }), true, true, true],
    [agent(mac, { maxTouchPoints: 1 }), false, false, false],
    [agent(mac, { maxTouchPoints: 0 }), false, false, false],
    [agent(android, { maxTouchPoints: 5 }), false, false, false],
    [agent(android, { maxTouchPoints: 5 }), true, false, true],
  ] as const)
    await withGlobals({ navigator, isSecureContext: true, matchMedia: () => ({ matches: fromHome }) }, () =>
      assert.deepEqual(whereNow(), { secure: true, appleMobile, installed }, JSON.stringify(navigator)),
    );
});
