// The controls of every form: what they are called, what they say, and what a press or a key does.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn, type Page } from "../device/page.test.ts";
import { BearingArrow } from "../field/part/bearingarrow.tsx";
import { How } from "./basischoice.tsx";
import { Button, Row } from "./button.tsx";
import { Choice, YesNo } from "./choice.tsx";
import { DayInput, NumberInput, TextInput } from "./input.tsx";
import { Ask } from "./meant.tsx";
import { NumberBox } from "./numberbox.tsx";
import { NumberPad } from "./numberpad.tsx";
import { Fold, Progress, Trouble } from "./panel.tsx";

const classOf = (page: Page, selector: string) => page.find(selector)[0]?.getAttribute("class");
const key = (page: Page, on: Element, name: string) => {
  const event = new page.window.KeyboardEvent("keydown", { key: name, bubbles: true, cancelable: true });
  on.dispatchEvent(event as unknown as Event);
  return event.defaultPrevented;
};

test("of a few one is chosen, a second tap changes nothing, and what may be left can be cleared", async () => {
  const picked: (string | undefined)[] = [];
  const choice = (value: string | undefined, more: object = {}) =>
    h(Choice, {
      label: "Soil",
      of: [
        { value: "a", label: "Sand" },
        { value: "b", label: "Clay" },
      ],
      value,
      pick: (v) => void picked.push(v),
      ...more,
    });
  await drawn(choice(undefined), async (page) => {
    assert.deepEqual(page.presses, ["Sand", "Clay"], "there is nothing to clear");
    assert.equal(page.words, "Soil Sand Clay");
    assert.equal(page.find("[aria-describedby]").length, 0);
    await page.press("Clay", "Soil");
    await page.draw(choice("b"));
    assert.deepEqual(
      ["Sand", "Clay"].map((name) => page.isPressed(name)),
      [false, true],
    );
    await page.press("Clay");
    await page.press("Not known: clear soil");
    assert.deepEqual(picked, ["b", undefined]);
    await page.draw(choice("elsewhere"));
    assert.deepEqual(page.presses, ["Sand", "Clay"], "what is not among them is not cleared here");
    await page.draw(choice("b", { required: true }));
    assert.deepEqual(page.presses, ["Sand", "Clay"], "it must be given");
    await page.draw(choice("a", { none: "No soil", hint: "of the bed" }));
    assert.equal(page.words, "Soil (of the bed) Sand Clay No soil");
    await page.draw(choice(undefined, { wrong: "Choose one." }));
    const [field] = page.find("fieldset");
    assert.equal(page.find(`[id="${field!.getAttribute("aria-describedby")}"]`)[0]!.textContent, "Choose one.");
  });
});

test("yes and no are two answers, and neither is a third", async () => {
  const picked: (boolean | undefined)[] = [];
  const asked = (value: boolean | undefined) => h(YesNo, { label: "Fenced", value, pick: (v) => void picked.push(v) });
  await drawn(asked(undefined), async (page) => {
    const pressed = () => ["Yes", "No"].map((name) => page.isPressed(name));
    assert.deepEqual(pressed(), [false, false]);
    await page.press("Yes");
    await page.press("No");
    await page.draw(asked(true));
    assert.deepEqual(pressed(), [true, false]);
    await page.draw(asked(false));
    assert.deepEqual(pressed(), [false, true]);
    await page.press("Not known: clear fenced");
    assert.deepEqual(picked, [true, false, undefined]);
  });
});

test("how a number came about may be that nobody knows, which is chosen like the others", async () => {
  const field = { name: "heightBasis", label: "How", type: "choice", choices: ["taped", "other way"] } as unknown as Parameters<
    typeof How
  >[0]["field"];
  const told: string[] = [];
  await drawn(h(How, { field, answer: "", change: (v) => void told.push(v) }), async (page) => {
    assert.equal(page.presses.length, 3);
    assert.ok(!page.presses.some((p) => page.isPressed(p)));
    await page.press("Not known");
    await page.press("Other way");
    await page.draw(h(How, { field, answer: told[1]!, change: () => undefined }));
    assert.ok(page.isPressed("Other way") && !page.isPressed("Not known"));
    await page.draw(h(How, { field, answer: told[0]!, change: () => undefined }));
    assert.ok(page.isPressed("Not known") && !page.isPressed("Other way"));
  });
});

test("a field that is typed says what may be left, what is wrong, and its unit", async () => {
  const typed: string[] = [];
  const change = (text: string) => void typed.push(text);
  let entered = 0;
  const text = (more: object) => h(TextInput, { label: "Name", value: "", change, enter: () => entered++, ...more });
  await drawn(text({}), async (page) => {
    const field = () => page.find("input, textarea")[0] as HTMLInputElement;
    assert.equal(page.words, "Name (if known)");
    assert.deepEqual([field().required, field().tagName, field().hasAttribute("aria-describedby")], [false, "INPUT", false]);
    await page.type("Name", "Top dam");
    for (const name of ["a", "Enter"]) key(page, field(), name);
    assert.deepEqual([typed, entered], [["Top dam"], 1]);
    await page.draw(text({ required: true }));
    assert.deepEqual([page.words, field().required], ["Name", true]);
    await page.draw(text({ plain: true, long: true }));
    assert.deepEqual([page.words, field().tagName], ["Name", "TEXTAREA"]);
    await page.type("Name", "Lower dam");
    assert.equal(typed[1], "Lower dam");
    await page.draw(text({ required: true, hint: "as on the map", wrong: "Give one." }));
    assert.equal(page.words, "Name as on the map Give one.");
    assert.equal(page.wrongWith("Name"), "as on the map Give one.");
    await page.draw(h(NumberInput, { label: "Height", value: "0.4", change, unit: "m" }));
    assert.deepEqual([page.words, page.typed("Height")], ["Height (if known) m", "0.4"]);
    await page.draw(h(NumberInput, { label: "Rows", value: "", change }));
    assert.equal(page.find(".unit").length, 0);
  });
});

test("today is offered for a day until it is chosen", async () => {
  const days: string[] = [];
  const at = (value: string) => h(DayInput, { label: "Built", value, change: (text: string) => void days.push(text) });
  await drawn(at(""), async (page) => {
    await page.press("Built: today, 1 June 2026");
    assert.deepEqual(days, ["2026-06-01"]);
    await page.draw(at("2026-06-01"));
    assert.deepEqual([page.presses, page.typed("Built")], [[], "2026-06-01"]);
    await page.draw(at("2026-05-31"));
    assert.deepEqual(page.presses, ["Built: today, 1 June 2026"]);
  });
});

test("buttons are large or not, main or not, stay pressed or do not, and have one name", () =>
  drawn(
    h(Row, {
      label: "Acts",
      children: [
        h(Button, { key: 1, press: () => undefined, rank: "main", wide: true, children: "Save" }),
        h(Button, { key: 2, press: () => undefined, pressed: false, label: "Zoom in", children: "+" }),
        h(Button, { key: 3, press: () => undefined, disabled: true, children: "Undo" }),
      ],
    }),
    async (page) => {
      assert.deepEqual(page.presses, ["Save", "Zoom in"]);
      assert.deepEqual(
        page.find("button").map((b) => [b.className, b.getAttribute("aria-pressed")]),
        [
          ["b-main wide", null],
          ["b-plain", "false"],
          ["b-plain", null],
        ],
      );
      assert.equal(page.find(".row")[0]!.getAttribute("role"), "group");
      await page.draw(h(Row, { children: "x" }));
      assert.ok(!page.find(".row")[0]!.hasAttribute("role"));
    },
  ));

test("what was perhaps meant is asked where there is something to ask", async () => {
  const told: string[] = [];
  const ask = (more: object) => h(Ask, { meant: [], write: (text: string) => void told.push(text), ...more });
  await drawn(ask({}), async (page) => {
    assert.equal(page.words, "");
    await page.draw(ask({ question: "Is it so?", keep: { words: "It is so", press: () => void told.push("kept") } }));
    assert.deepEqual([page.words, page.find(".caution").length], ["Is it so? It is so", 1]);
    await page.press("It is so", "What was meant");
    await page.draw(ask({ meant: [{ words: "Centimetres", text: "0.45" }] }));
    assert.equal(page.find(".caution").length, 0);
    await page.press("Centimetres: write 0.45 m");
    assert.deepEqual(told, ["kept", "0.45"]);
  });
});

test("the pad types in the box that is active, and what is proposed is replaced by the first key", async () => {
  const acts: string[] = [];
  const box = (more: object) =>
    h(NumberBox, {
      label: "Reading",
      value: "1.2",
      active: false,
      take: () => void acts.push("take"),
      change: (text: string) => void acts.push(text),
      ...more,
    });
  await drawn(box({}), async (page) => {
    const input = () => page.find("input")[0] as HTMLInputElement;
    assert.deepEqual([classOf(page, ".numberbox"), page.words], ["numberbox", "Reading m"]);
    assert.ok(!input().hasAttribute("aria-describedby"));
    input().focus();
    assert.deepEqual(acts.splice(0), ["take"]);
    assert.equal(input().selectionEnd! - input().selectionStart!, 0, "what was keyed is kept");
    await page.type("Reading", "1.25");
    assert.deepEqual(acts.splice(0), ["1.25"]);
    await page.draw(box({ large: true, active: true, suggested: true, unit: "mm" }));
    assert.deepEqual([classOf(page, ".numberbox"), page.words], ["numberbox large active suggested", "Reading mm proposed"]);
    assert.equal(input().selectionEnd! - input().selectionStart!, 3, "a key replaces it");
    await page.draw(box({ note: "if left empty", suggested: true }));
    assert.equal(page.words, "Reading m if left empty");
    await page.draw(null);
    await page.draw([h("div", { class: "figures", tabIndex: 0, id: "other" }), box({ active: false })]);
    (page.find("#other")[0] as HTMLElement).focus();
    await page.draw([h("div", { class: "figures", tabIndex: 0, id: "other" }), box({ active: true })]);
    assert.equal(page.window.document.activeElement as unknown, input(), "a keyboard goes where the pad types");
    await page.draw([h("button", { id: "press" }, "x"), box({ active: false })]);
    (page.find("#press")[0] as HTMLElement).focus();
    await page.draw([h("button", { id: "press" }, "x"), box({ active: true })]);
    assert.equal(page.window.document.activeElement as unknown, page.find("#press")[0], "it never leaves a button");
  });
});

test("the keys of the pad type, and Enter books from a number box alone", async () => {
  const keys: string[] = [];
  const pad = (sign: boolean) =>
    h(NumberPad, {
      press: (k: string) => void keys.push(k),
      enter: () => void keys.push("enter"),
      enterWord: "Book",
      sign,
      children: [h("input", { key: 1, class: "figures" }), h("input", { key: 2, class: "note" })],
    });
  await drawn(pad(true), async (page) => {
    for (const name of ["7", ".", "Delete digit", "Change sign", "Book"]) await page.press(name, "Number pad");
    assert.deepEqual(keys.splice(0), ["7", ".", "rub", "sign", "enter"]);
    assert.equal(classOf(page, ".pad"), "pad signed");
    assert.equal(page.find(".kpoint").length, 1);
    const [figures, note] = page.find("input");
    assert.deepEqual([key(page, figures!, "Enter"), keys.splice(0)], [true, ["enter"]]);
    assert.deepEqual(
      [key(page, figures!, "1"), key(page, note!, "Enter"), key(page, page.find("button")[0]!, "Enter")],
      [false, false, false],
    );
    assert.deepEqual(keys, []);
    await page.draw(pad(false));
    assert.ok(!page.presses.includes("Change sign"));
    assert.equal(classOf(page, ".pad"), "pad");
  });
});

test("trouble is told with what to do where anything can be done", () =>
  drawn(h(Trouble, { what: "It is so." }), async (page) => {
    assert.deepEqual([page.told, page.find("p").length], [["It is so."], 1]);
    await page.draw(h(Trouble, { what: "It is so.", todo: "Do this.", children: h("p", null, "Or that.") }));
    assert.deepEqual(
      page.find("p").map((p) => p.textContent),
      ["It is so.", "Do this.", "Or that."],
    );
  }));

test("what is folded is made when it is looked at, and how far work has come is counted", () =>
  drawn(h(Fold, { title: "More", children: h("p", null, "within") }), async (page) => {
    assert.equal(page.words, "More");
    await page.draw(null);
    await page.draw(h(Fold, { title: "More", open: true, children: h("p", null, "within") }));
    assert.equal(page.words, "More within");
    assert.ok(page.find("details")[0]!.hasAttribute("open"));
    await page.draw(h(Progress, { label: "Photos", done: 3, of: 4000 }));
    const bar = () => page.find("progress")[0]!;
    const said = () => [
      bar().getAttribute("aria-valuetext")!.replace(/[\s,]/g, " "),
      bar().getAttribute("max"),
      bar().hasAttribute("value"),
    ];
    assert.deepEqual(said(), ["3 of 4 000", "4000", true]);
    await page.draw(null);
    await page.draw(h(Progress, { label: "Photos", done: 3, of: undefined }));
    assert.deepEqual(said(), ["3", null, false]);
  }));

test("an arrow points from north, and turns with the phone; where there is no way it is a ring", () =>
  drawn(h(BearingArrow, { bearingDeg: 90, headingDeg: 30 }), async (page) => {
    const turned = () => page.find("path").map((p) => p.getAttribute("transform"));
    assert.deepEqual(turned(), ["rotate(-30 24 24)", "rotate(60 24 24)"]);
    assert.equal(page.find(".arrowhead").length, 1);
    await page.draw(h(BearingArrow, { bearingDeg: undefined, headingDeg: undefined }));
    assert.deepEqual(turned(), ["rotate(0 24 24)", null]);
    assert.equal(page.find(".arrowhead").length, 0);
  }));
