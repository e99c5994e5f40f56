// How old a position is, and which way the phone points, as a screen says it.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { withGlobals } from "../base/globals.test.ts";
import { drawn, type Page } from "../device/page.test.ts";
import type { Fix } from "./fix.ts";
import { agoWords, useAgeS, useHeading } from "./hooks.ts";

test("a position is as old as it is said to be, second by second, once the officer may have walked on", () => {
  const Age = ({ fix }: { fix: Fix | null }) => h("p", null, `good to 4 m${agoWords(useAgeS(fix))}`);
  return drawn(h(Age, { fix: null }), async (page) => {
    const ago = () => page.words.slice("good to 4 m".length);
    await page.clock.pass(60_000);
    assert.equal(ago(), "");
    const began = page.clock.nowMS;
    await page.draw(h(Age, { fix: { takenMS: began } as Fix }));
    const at = async (s: number) => {
      await page.clock.pass(began + s * 1000 + 100 - page.clock.nowMS);
      return ago();
    };
    assert.equal(await at(4), "");
    assert.equal(await at(6), ", 6 s ago");
    assert.equal(await at(7), ", 7 s ago");
    assert.equal(await at(89), ", 89 s ago");
    assert.equal(await at(90), ", 2 min ago");
    assert.equal(await at(151), ", 3 min ago");
  });
});

test("a phone of the kind that wants to be asked is asked once, and is offered as long as the screen is open", () => {
  const Way = () => {
    const { headingDeg, offered, ask } = useHeading(5);
    const say = h("p", null, headingDeg === undefined ? "no heading" : `heading ${headingDeg}`);
    return [say, offered && h("button", { disabled: !ask, onClick: () => ask?.() }, "Turn")];
  };
  const asked: string[] = [];
  const DeviceOrientationEvent = Object.assign(() => undefined, {
    requestPermission: async () => {
      asked.push("asked");
      return "granted";
    },
  });
  return withGlobals({ DeviceOrientationEvent, screen: {} }, async () => {
    const turned = async (page: Page, deg: number) => {
      for (const name of ["deviceorientation", "deviceorientationabsolute"]) // it hears one of them
        page.window.dispatchEvent(Object.assign(new page.window.Event(name), { webkitCompassHeading: deg }));
      await page.rest();
    };
    await drawn(h(Way, null), async (page) => {
      await page.press("Turn");
      assert.deepEqual([asked, page.isDisabled("Turn"), page.words], [["asked"], true, "no heading Turn"]);
      await turned(page, 92);
      assert.equal(page.words, "heading 90 Turn");
      await turned(page, 93);
      assert.equal(page.words, "heading 95 Turn");
    });
    await drawn(h(Way, null), async (page) => {
      await turned(page, 0);
      assert.deepEqual([page.words, page.isDisabled("Turn")], ["heading 0 Turn", true], "it tells without being asked");
    });
  });
});
