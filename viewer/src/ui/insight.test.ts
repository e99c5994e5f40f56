// What is typed stays in sight: how far a sheet scrolls for it.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { withGlobals } from "../base/globals.test.ts";
import { drawn } from "../device/page.test.ts";
import { intoSight, watchKeyboard } from "./insight.ts";

interface Case {
  readonly name: string;
  readonly own: readonly [top: number, bottom: number];
  readonly answer?: readonly [number, number];
  readonly padTop?: number;
  readonly padHolds?: boolean; // the pad holds what is typed in
  readonly padLies?: string; // its position
  readonly view?: { readonly offsetTop: number; readonly height: number };
  readonly parents?: readonly { readonly highPx: number; readonly overflowY: string }[]; // from the inside out; the scroller's last
  readonly scrolls: number;
}

const sheet = { highPx: 900, overflowY: "auto" };

test("a sheet scrolls as far as what is typed, and what answers it, need to be in sight", async () => {
  const cases: readonly Case[] = [
    { name: "in sight", own: [100, 500], scrolls: 0 },
    { name: "below", own: [520, 560], scrolls: 62 },
    { name: "above", own: [60, 90], scrolls: -40 },
    { name: "taller than the sheet, from within", own: [110, 700], scrolls: 10 },
    { name: "taller than the sheet, from above", own: [50, 700], scrolls: 0 },
    { name: "with its answer below", own: [480, 495], answer: [500, 540], scrolls: 42 },
    { name: "with its answer above", own: [120, 140], answer: [80, 100], scrolls: -20 },
    { name: "with an answer for which there is just room", own: [480, 495], answer: [500, 880], scrolls: 380 },
    { name: "with an answer for which there is none", own: [480, 495], answer: [500, 881], scrolls: 0 },
    { name: "under the pad", own: [440, 460], padTop: 450, scrolls: 12 },
    { name: "in the pad", own: [440, 460], padTop: 450, padHolds: true, scrolls: 0 },
    { name: "with a pad that lies beside", own: [440, 460], padTop: 450, padLies: "static", scrolls: 0 },
    { name: "under the phone's keyboard", own: [300, 330], view: { offsetTop: 20, height: 300 }, scrolls: 12 },
    { name: "above what the phone shows", own: [110, 115], view: { offsetTop: 120, height: 300 }, scrolls: -10 },
    { name: "in a box that has no more to show", own: [520, 560], parents: [{ highPx: 400, overflowY: "auto" }, sheet], scrolls: 62 },
    { name: "in a box that does not scroll", own: [520, 560], parents: [{ highPx: 900, overflowY: "visible" }, sheet], scrolls: 62 },
    { name: "in nothing that scrolls", own: [520, 560], parents: [{ highPx: 900, overflowY: "visible" }], scrolls: 0 },
  ];
  for (const c of cases) {
    const box = ([top, bottom]: readonly [number, number]) => ({ getBoundingClientRect: () => ({ top, bottom }) });
    const pad = c.padTop !== undefined && { ...box([c.padTop, 500]), contains: () => c.padHolds === true, position: c.padLies ?? "sticky" };
    const parents = (c.parents ?? [sheet]).map(({ highPx, overflowY }) => ({
      ...box([100, 500]),
      ...{ scrollHeight: highPx, clientHeight: 400, overflowY, scrollTop: 1000, parentElement: null as object | null },
      querySelector: (selector: string) => (selector === ".padbar" && pad) || null,
    }));
    parents.forEach((parent, i) => (parent.parentElement = parents[i + 1] ?? null));
    const element = { ...box(c.own), parentElement: parents[0] };
    await withGlobals({ window: { visualViewport: c.view ?? null }, getComputedStyle: (e: object) => e }, () =>
      intoSight(element as unknown as HTMLElement, c.answer && (box(c.answer) as unknown as HTMLElement)),
    );
    assert.deepEqual(
      parents.map((p) => p.scrollTop - 1000),
      [...parents.slice(1).map(() => 0), c.scrolls],
      c.name,
    );
  }
});

test("the page keeps to what the phone's keyboard leaves of the screen", () =>
  drawn(h("input", null), async (page) => {
    const view = Object.assign(new EventTarget(), { scale: 1, height: 640, offsetTop: 0 });
    const scrolled: number[][] = [];
    Object.assign(page.window, { visualViewport: view, innerHeight: 640, scrollTo: (...to: number[]) => scrolled.push(to) });
    const root = page.window.document.documentElement;
    const seen = () => [root.style.getPropertyValue("--seen"), root.classList.contains("keyboard")];
    const stop = watchKeyboard();
    const cases = [
      { height: 340, seen: ["340px", true] },
      { height: 520, seen: ["100%", false] }, // a browser's bar
      { height: 519, seen: ["519px", true] },
      { height: 300, scale: 2, seen: ["100%", false] }, // looked at closely
      { height: 640, offsetTop: 30, seen: ["100%", false] },
    ];
    for (const { seen: want, ...is } of cases) {
      Object.assign(view, { scale: 1, offsetTop: 0 }, is);
      view.dispatchEvent(new Event("resize"));
      assert.deepEqual(seen(), want, JSON.stringify(is));
    }
    assert.deepEqual(scrolled, []);
    Object.assign(view, { scale: 1, height: 340, offsetTop: 30 });
    page.window.dispatchEvent(new page.window.Event("resize"));
    assert.deepEqual([seen(), scrolled], [["340px", true], [[0, 0]]]);
    stop();
    Object.assign(view, { height: 640 });
    view.dispatchEvent(new Event("resize"));
    page.window.dispatchEvent(new page.window.Event("resize"));
    assert.deepEqual(seen(), ["340px", true], "nobody watches any more");
  }));
