// The frame of a screen, and the boxes that are typed in.

import assert from "node:assert/strict";
import test from "node:test";
import { type ComponentChildren, h } from "preact";
import { drawn, type Page } from "../device/page.test.ts";
import { BackContext, Frame, Opening } from "./frame.tsx";
import { DayInput, TextInput } from "./input.tsx";
import { Ask } from "./meant.tsx";
import { NumberBox } from "./numberbox.tsx";
import { NumberPad } from "./numberpad.tsx";
import { Progress } from "./panel.tsx";

/** Gives the sheets of a page this height of content, in a window of 400, and this way of going over. */
const sized = (page: Page, highPx: number, overflowY: string) => {
  const sheet = (e: Element) => e.classList.contains("sheet");
  const { HTMLElement } = page.window;
  for (const [name, px] of [
    ["scrollHeight", highPx],
    ["clientHeight", 400],
  ] as const)
    Object.defineProperty(HTMLElement.prototype, name, {
      configurable: true,
      get(this: Element) {
        return sheet(this) ? px : 0;
      },
    });
  const styled = globalThis.getComputedStyle;
  globalThis.getComputedStyle = (e) => (sheet(e) ? ({ overflowY } as CSSStyleDeclaration) : styled(e));
};

test("a sheet that scrolls and has nothing to stop at is a stop itself", async () => {
  const text = h("p", null, "Words.");
  const cases: readonly [string, ComponentChildren, number, string, boolean][] = [
    ["more than the window", text, 401, "auto", true],
    ["as much as the window", text, 400, "auto", false],
    ["cut off", text, 401, "visible", false],
    ["a link", h("a", { href: "#/" }, "Today"), 401, "auto", false],
    ["a button", h("button", null, "Go"), 401, "auto", false],
    ["a button that does not act", h("button", { disabled: true }, "Go"), 401, "auto", true],
    ["a field", h("input", null), 401, "auto", false],
  ];
  for (const [name, content, highPx, overflowY, stops] of cases)
    await drawn(h("p", null, "before"), async (page) => {
      sized(page, highPx, overflowY);
      await page.draw(h(Frame, { title: "T", children: content }));
      await page.clock.pass(100);
      assert.equal(page.find(".sheet")[0]!.getAttribute("tabindex"), stops ? "0" : null, name);
    });
});

test("a frame has its heading, what is late apart, and a way back that a screen may take for itself", async () => {
  let backs = 0;
  const around = (own?: () => void) =>
    h(
      BackContext.Provider,
      { value: () => void backs++ },
      h(Frame, { title: "T", children: "Now.", late: "Later.", ...(own && { back: own }) }),
    );
  await drawn(around(), async (page) => {
    assert.deepEqual([page.heading, page.find(".late")[0]!.textContent, page.find(".actions").length], ["T", "Later.", 0]);
    await page.press("Back");
    assert.equal(backs, 1);
  });
  await drawn(
    around(() => void (backs += 10)),
    async (page) => {
      await page.press("Back");
      assert.equal(backs, 11);
    },
  );
  await drawn(h(Opening, { title: "T" }), (page) => page.reads("T Opening…"));
  await drawn(h(Opening, { title: "T", trouble: { what: "No room.", todo: "Make some." } as never }), async (page) => {
    await page.reads("No room.");
    assert.ok(!page.words.includes("Opening"));
  });
});

test("Enter does what a field or a pad is for, and no other key does", async () => {
  const did: string[] = [];
  const key = (page: Page, selector: string, name: string) =>
    page
      .find(selector)[0]!
      .dispatchEvent(new page.window.KeyboardEvent("keydown", { key: name, bubbles: true, cancelable: true }) as never);
  const text = (long: boolean) =>
    h(TextInput, { label: "Name", value: "", change: (t: string) => void did.push(t), long, enter: () => void did.push("enter") });
  await drawn(text(false), async (page) => {
    key(page, "input", "a");
    key(page, "input", "Enter");
    await page.type("Name", "Dam");
    assert.deepEqual(did.splice(0), ["enter", "Dam"]);
  });
  await drawn(text(true), async (page) => {
    await page.type("Name", "Two lines");
    assert.deepEqual([did.splice(0), page.find("textarea").length], [["Two lines"], 1]);
  });
  const box = h(NumberBox, { label: "Staff", value: "", active: true, take: () => {}, change: () => {} });
  const pad = (sign: boolean) =>
    h(NumberPad, {
      press: (k: string) => void did.push(k),
      enter: () => void did.push("book"),
      enterWord: "Book",
      sign,
      children: [box, h("input", { class: "other" })],
    });
  await drawn(pad(true), async (page) => {
    key(page, ".figures", "Enter");
    key(page, ".figures", "1");
    key(page, ".other", "Enter");
    assert.deepEqual(did.splice(0), ["book"]);
    for (const k of ["7", ".", "Delete digit", "Change sign", "Book"]) await page.press(k);
    assert.deepEqual(did.splice(0), ["7", ".", "rub", "sign", "book"]);
  });
  await drawn(pad(false), async (page) => assert.ok(!page.presses.includes("Change sign")));
});

test("a day has a button for today as long as it is another", async () => {
  const chosen: string[] = [];
  const input = (value: string) => h(DayInput, { label: "Day", value, required: true, change: (v: string) => void chosen.push(v) });
  await drawn(input(""), async (page) => {
    await page.press(page.presses.find((p) => p.startsWith("Day: today, "))!);
    assert.match(chosen[0]!, /^\d{4}-\d\d-\d\d$/);
    await page.draw(input(chosen[0]!));
    assert.deepEqual(page.presses, []);
    await page.type("Day", "2026-03-01");
    assert.equal(chosen[1], "2026-03-01");
  });
});

test("what was perhaps meant is asked with a button for each, and how far something is stands in words", async () => {
  const wrote: string[] = [];
  const ask = (more: object) => h(Ask, { meant: [], write: (t: string) => void wrote.push(t), ...more });
  await drawn(ask({}), async (page) => assert.equal(page.words, ""));
  await drawn(ask({ question: "So high?" }), async (page) => assert.equal(page.words, "So high?"));
  await drawn(
    ask({ meant: [{ words: "Centimetres", text: "0.45" }], keep: { words: "It is so", press: () => wrote.push("kept") } }),
    async (page) => {
      await page.press("Centimetres: write 0.45 m");
      await page.press("It is so");
      assert.deepEqual(wrote, ["0.45", "kept"]);
      assert.equal(page.find(".caution").length, 0);
    },
  );
  const far = (of: number | undefined) => h(Progress, { label: "Loading", done: 1200, of });
  await drawn(far(5000), async (page) => {
    const bar = page.find("progress")[0]!;
    assert.equal(bar.getAttribute("aria-valuetext"), "1,200 of 5,000");
    assert.equal((bar as HTMLProgressElement).getAttribute("value"), "1200");
  });
  await drawn(far(undefined), async (page) => {
    const bar = page.find("progress")[0]!;
    assert.deepEqual([bar.getAttribute("aria-valuetext"), bar.getAttribute("value")], ["1,200", null]);
  });
});
