// Scanning the office's code with the camera.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { withGlobals } from "../base/globals.test.ts";
import { drawn, type Page } from "./page.test.ts";
import { canScan } from "./scan.ts";
import { Scanner } from "./scanner.tsx";

test("a code is scanned where the browser has a camera and reads such codes", async () => {
  const reads = (...formats: string[]) => ({ getSupportedFormats: async () => formats });
  const camera = { mediaDevices: { getUserMedia: () => {} } };
  const fails = { getSupportedFormats: () => Promise.reject(new Error("no")) };
  for (const [name, BarcodeDetector, navigator, want] of [
    ["both", reads("ean_13", "qr_code"), camera, true],
    ["no reader", undefined, camera, false],
    ["no camera", reads("qr_code"), {}, false],
    ["a camera that it does not let be used", reads("qr_code"), { mediaDevices: {} }, false],
    ["other codes", reads("ean_13"), camera, false],
    ["the word only", fails, camera, false],
  ] as const)
    await withGlobals({ BarcodeDetector, navigator }, async () => assert.equal(await canScan(), want, name));
});

/** Opens the camera over a page: what it sees, and what came of it. */
async function scanning(
  job: (is: {
    page: Page;
    see: (...codes: string[]) => Promise<void>;
    let: (allowed: boolean) => Promise<void>;
    found: string[];
    tracks: () => number;
    looks: () => number;
  }) => Promise<void>,
) {
  let codes: string[] = [];
  let looks = 0;
  const found: string[] = [];
  let allow: (allowed: boolean) => void = () => {};
  await drawn(h("p", null, "before"), async (page) => {
    const asks = new Promise<void>((yes, no) => (allow = (allowed) => (allowed ? yes() : no(new Error("not allowed")))));
    const running = page.withCamera(asks);
    class BarcodeDetector {
      async detect() {
        looks++;
        if (codes.includes("broken")) throw new Error("no picture yet");
        return codes.map((rawValue) => ({ rawValue }));
      }
    }
    await withGlobals({ BarcodeDetector }, async () => {
      await page.draw(h(Scanner, { found: (code: string) => found.push(code), close: () => found.push("closed") }));
      await job({
        ...{ page, found, tracks: () => running.size, looks: () => looks },
        see: async (...now) => {
          codes = now;
          await page.clock.pass(250);
        },
        let: async (allowed) => {
          allow(allowed);
          await page.rest();
        },
      });
      await page.draw(h("p", null, "after"));
      const before = looks;
      await page.clock.pass(2000);
      assert.deepEqual([running.size, looks <= before + 1], [0, true], "the camera is off");
    });
  });
}

test("the camera is looked through until an office's code is in sight", () =>
  scanning(async (is) => {
    await is.page.clock.pass(900);
    await is.page.reads("Hold the phone so that the office's code is in the picture.");
    await is.page.clock.pass(100);
    await is.page.reads("Waiting for the camera.");
    await is.let(true);
    await is.page.reads("Hold the phone");
    assert.deepEqual([is.tracks(), is.found], [1, []]);
    await is.see("broken");
    await is.see("4006381333931");
    await is.page.reads("That is not a code from the office.");
    await is.see();
    await is.see("4006381333931", "https://office.example/field/#/enrol/r3d5x-xzcxm");
    assert.deepEqual([is.found, is.tracks()], [["R3D5X-XZCXM"], 0]);
    const looks = is.looks();
    await is.page.clock.pass(1000);
    assert.equal(is.looks(), looks, "it looks no more");
    await is.page.press("Type it instead");
    assert.deepEqual(is.found.slice(1), ["closed"]);
  }));

test("a camera that may not be used is said, and one that comes too late is ended", async () => {
  await scanning(async (is) => {
    await is.let(false);
    await is.page.reads("The camera cannot be used.");
    await is.page.clock.pass(2000);
    assert.ok(!is.page.words.includes("Waiting") && !is.page.words.includes("Hold"), is.page.words);
  });
  await scanning(async (is) => {
    await is.page.draw(h("p", null, "gone"));
    await is.let(true);
    assert.equal(is.tracks(), 0);
  });
  await scanning(async (is) => {
    await is.let(true);
    assert.equal(is.tracks(), 1);
  });
});
