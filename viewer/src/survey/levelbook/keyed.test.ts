import assert from "node:assert/strict";
import test from "node:test";
import { toMillimetre } from "../../base/number.ts";
import { metres, keyedIn, press, tidy, type Key } from "./keyed.ts";

const keyed = (keys: string, sort: "staff" | "plain"): string =>
  [...keys].reduce((text, k) => press(text, k === "<" ? "rub" : k === "~" ? "sign" : (k as Key), sort), "");

test("what is keyed stands as a reading", () => {
  for (const [keys, sort, want] of [
    ["1.435", "staff", "1.435"],
    ["1435", "staff", "1.435"], // a staff reading has one figure before its point
    ["0025", "staff", "0.025"],
    ["143", "staff", "1.43"],
    ["14.35", "staff", "1.435"], // the second point is none
    [".5", "staff", "0.5"],
    ["1.43555", "staff", "1.4355"], // to a tenth of a millimetre
    ["106.366", "plain", "106.366"],
    ["106366", "plain", "106366"],
    ["1435<", "staff", "1.43"],
    ["14<", "staff", "1"], // the point goes with the figure that brought it
    ["14<<", "staff", ""],
    ["<", "staff", ""],
    ["0.34~", "staff", "-0.34"],
    ["0.34~~", "staff", "0.34"],
    ["~0.34", "staff", "-0.34"],
  ] as const) {
    assert.equal(keyed(keys, sort), want, `keys ${keys}, ${sort}`);
  }
});

test("what a keyboard types comes out as the pad's", () => {
  for (const [typed, want] of [
    ["1,435", "1.435"],
    ["1.435 m", "1.435"],
    ["−0.34", "-0.34"],
    ["abc", ""],
    ["1435", "1.435"],
    ["", ""],
  ] as const) {
    assert.equal(tidy(typed, "staff"), want, `typed ${typed}`);
  }
});

test("tidying twice changes nothing, and every key leaves a number or its beginning", () => {
  const keys = [..."0123456789.<~"];
  let seed = 20261125;
  const random = (n: number) => (seed = (seed * 1103515245 + 12345) % 2147483648) % n;
  for (let run = 0; run < 2000; run++) {
    const sort = run % 2 ? "staff" : "plain";
    let text = "";
    for (let i = 0; i < 12; i++) {
      const k = keys[random(keys.length)]!;
      text = keyed(k, sort) && text === "" ? keyed(k, sort) : press(text, k === "<" ? "rub" : k === "~" ? "sign" : (k as Key), sort);
      assert.match(text, /^-?(\d{1,6}(\.\d{0,4})?)?$/, `after ${k}`);
      if (text !== "-") assert.equal(tidy(text, sort), text, `tidied ${text}`);
    }
  }
});

test("half a number is none", () => {
  for (const [text, want] of [
    ["", undefined],
    ["-", undefined],
    ["1.", 1],
    ["1.4", 1.4],
    ["-0.3155", -0.3155],
    ["1.4.5", undefined],
  ] as const) {
    assert.equal(keyedIn(text), want, text);
  }
  assert.equal(metres(1.4), "1.400");
  assert.equal(metres(-0.3155), "-0.3155");
  assert.deepEqual([100.2475, 1234.5, -0.3155].map(toMillimetre), ["100.248", "1\u202f234.500", "\u22120.316"], "a level, half way up");
});
