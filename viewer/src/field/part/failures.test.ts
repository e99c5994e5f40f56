// A phone whose store takes nothing: every screen says so with what to do, keeps what was typed,
// and saves it at the next press.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { full } from "../../storage/errors.ts";
import { boot } from "../shell/boot.tsx";

const point = { type: "Point", coordinates: [146.5, -20.25] };
const dam = { kind: "check-dam", name: "D1", status: "built", observedOn: "2026-03-01", geometry: point };
const features = { a: dam, p: { kind: "peg", name: "P1", observedOn: "2026-03-01", geometry: point } };
const told = ["The phone's storage is full: this was not saved.", "Free some storage on the phone"];

const screens: readonly [address: string, prepare: (page: Page) => Promise<unknown>, save: string, then: string][] = [
  [
    "#/thing/a/edit",
    async (page) => {
      await page.press("More about it");
      await page.type("Name", "Dam one");
    },
    "Save",
    "edited",
  ],
  ["#/mark/peg", async () => {}, "Mark it here", "Peg saved"],
  [
    "#/thing/p/fill",
    async (page) => {
      await page.type("Chainage from the first peg", "3");
      await page.press("By tape");
    },
    "Save",
    "3 m, by tape",
  ],
  ["#/shape/p", async (page) => page.touchMap([100, 0]), "Save", "P1: position edited"],
  [
    "#/line/fence/line",
    async (page) => {
      await page.stand(146.5, -20.25, 4);
      await page.press("Add where I stand");
      await page.press("Add at the cross");
    },
    "Save",
    "Fence saved",
  ],
  ["#/visit/a", async (page) => page.press("Sound"), "Save: sound", "Visit"],
  [
    "#/peg/spacing",
    async (page) => page.press("Whoa-boys, one column for all soils, Southern Regional Extension Forestry"),
    "Save for the property",
    "Spacing table saved",
  ],
];

for (const [address, prepare, save, then] of screens)
  test(`what cannot be saved is said and kept, and saved at the next press: ${address}`, () =>
    onPage(boot, { features, address }, async (page) => {
      await prepare(page);
      const { store } = page.phone;
      const before = (await store.features(property)).length;
      Object.assign(store, { capture: () => Promise.reject(full()) });
      await page.press(save);
      await page.reads(...told);
      assert.equal(page.address, address);
      assert.equal((await store.features(property)).length, before);
      Reflect.deleteProperty(store, "capture");
      await page.press(save);
      await page.reads(then);
      assert.ok(!page.words.includes(told[0]!), page.words);
    }));
