import assert from "node:assert/strict";
import test from "node:test";
import { codeIn, codeScanned, mayNot } from "./code.ts";

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
