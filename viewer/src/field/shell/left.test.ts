// A screen that is left leaves nothing behind: no listener, no clock, no watch of the store.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { usePrinting } from "../../ui/hooks.ts";
import { drawn, onPage, type Page } from "../../device/page.test.ts";
import { boot } from "./boot.tsx";

const point = { type: "Point", coordinates: [146.5, -20.25] };
const features = {
  a: { kind: "check-dam", name: "D1", status: "built", observedOn: "2026-03-01", geometry: point },
  t: {
    kind: "thalweg",
    name: "G1",
    observedOn: "2026-03-01",
    geometry: {
      type: "LineString",
      coordinates: [
        [146.5, -20.25],
        [146.501, -20.25],
      ],
    },
  },
  r: { kind: "level-run", name: "Run 1", observedOn: "2026-03-01", rows: [{ point: "BM1", bs: 1.5, knownLevelM: 100 }] },
};
const screens = [
  ...["#/mark", "#/mark/peg", "#/thing/a", "#/thing/a/edit", "#/line", "#/line/fence/line", "#/shape/a", "#/map"],
  ...["#/photo", "#/photo/a", "#/photo/a/again", "#/visit", "#/visit/a", "#/level", "#/level/r", "#/peg", "#/peg/with/r"],
  ...["#/peg/dams/r", "#/peg/contour/r", "#/peg/whoa-boys/r", "#/peg/spacing", "#/handover", "#/status", "#/property"],
];

/** How many listeners the window and the document have, and how many clocks run again and again. */
function counting(page: Page): () => number {
  let n = 0;
  for (const target of [page.window, page.window.document] as unknown as EventTarget[]) {
    const held = new Set<string>();
    const ids = new Map<unknown, number>();
    const name = (kind: string, listener: unknown, how: unknown) => {
      if (!ids.has(listener)) ids.set(listener, ids.size);
      return `${kind} ${ids.get(listener)} ${how === true || (how as { capture?: boolean } | undefined)?.capture === true}`;
    };
    const { addEventListener: add, removeEventListener: remove } = target;
    const changed = (kind: string, listener: unknown, how: unknown, there: boolean) => {
      const one = name(kind, listener, how);
      if (there === held.has(one)) return;
      if (there) held.add(one);
      else held.delete(one);
      n += there ? 1 : -1;
    };
    Object.assign(target, {
      addEventListener(...args: Parameters<typeof add>) {
        changed(args[0], args[1], args[2], true);
        add.apply(target, args);
      },
      removeEventListener(...args: Parameters<typeof remove>) {
        changed(args[0], args[1], args[2], false);
        remove.apply(target, args);
      },
    });
  }
  return () => n + page.clock.ticking;
}

/** The same, with those that watch the store. */
function countingAll(page: Page): () => number {
  const { store } = page.phone;
  let watching = 0;
  const watch = store.watch.bind(store);
  Object.assign(store, {
    watch: (...args: Parameters<typeof watch>) => {
      const stop = watch(...args);
      watching++;
      return () => {
        watching--;
        stop();
      };
    },
  });
  const others = counting(page);
  return () => others() + watching;
}

test("what is printed knows it, and listens no longer than it is there", () => {
  const Printed = () => h("p", null, usePrinting() ? "on paper" : "on the screen");
  return drawn(null, async (page) => {
    const left = counting(page);
    await page.draw(h(Printed, null));
    assert.equal(left(), 2);
    for (const [kind, words] of [
      ["beforeprint", "on paper"],
      ["afterprint", "on the screen"],
    ] as const) {
      page.window.dispatchEvent(new page.window.Event(kind));
      await page.rest();
      assert.equal(page.words, words);
    }
    await page.draw(null);
    assert.equal(left(), 0);
  });
});

test("a screen that is left leaves no listener and no clock", () => {
  let left = () => 0;
  return onPage(boot, { features, before: async (page) => void (left = countingAll(page)) }, async (page) => {
    await page.reads("Today: 3 entries");
    for (const address of screens) {
      const visit = async () => {
        await page.go(address);
        await page.clock.pass(2000);
        await page.go("#/", "Stony Block");
        await page.clock.pass(2000);
        return left();
      };
      const once = await visit(); // what is made with the first of its kind may stay
      assert.equal(await visit(), once, address);
    }
  });
});

test("what opens has its heading read out", () =>
  onPage(boot, { features }, async (page) => {
    for (const [address, heading] of [
      ["#/mark", "Mark where you stand"],
      ["#/level", "Level"],
      ["#/status", "Sync status"],
      ["#/line/fence/line", "Fence"],
    ] as const) {
      await page.go(address, heading);
      const here = page.window.document.activeElement;
      assert.deepEqual([here?.tagName, here?.textContent], ["H1", heading]);
    }
  }));
