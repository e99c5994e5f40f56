// The page of one item, as an officer reads it and acts on it.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { full } from "../../storage/errors.ts";
import { property } from "../../storage/phone.test.ts";
import { boot } from "../shell/boot.tsx";

const dam = {
  kind: "check-dam",
  name: "D1",
  status: "built",
  observedOn: "2026-03-01",
  geometry: { type: "Point", coordinates: [146.5, -20.25] },
};
const visit = { kind: "visit", of: "a", observedOn: "2026-04-02", condition: "sound", notes: "Two stones out" };

test("the page of an item says what it is, what is known, and what is still to fill in", () =>
  onPage(boot, { features: { a: dam }, address: "#/thing/a" }, async (page) => {
    await page.reads("D1 Check dam, not sent yet", "Still to fill in: built on, crest above bed.", "Strike out");
    assert.equal(page.heading, "D1");
    assert.deepEqual(page.facts, { "Date recorded": "1 March 2026", Status: "built" });
    assert.deepEqual(
      ["Visit", "Photo", "Edit", "Show on the map", "Move on the map"].map((link) => page.leads(link)),
      ["#/visit/a", "#/photo/a", "#/thing/a/edit", "#/map/a", "#/shape/a"],
    );
    assert.ok(!page.words.includes("This is struck out") && !page.words.includes("Two people"), page.words);
  }));

test("stock are recorded from the page of their paddock", () =>
  onPage(boot, { features: { p: { kind: "paddock", name: "Bore", observedOn: "2026-03-01" } }, address: "#/thing/p" }, async (page) => {
    await page.press("Stock in, out or rested");
    await page.reads("Stocking record", "Add what you know.");
    await page.type("Head", "120");
    await page.type("Stock in on", "2026-05-13");
    await page.press("Save");
    await page.reads("Stocking record: details saved");
    const stocking = (await page.phone.store.features(property)).find((f) => f.fields["kind"] === "stocking");
    assert.deepEqual([stocking?.fields["paddock"], stocking?.fields["head"], stocking?.fields["stockInOn"]], ["p", 120, "2026-05-13"]);
    await page.go("#/thing/p", "Bore");
    await page.reads("Stock, the newest first", "Stocking record, 13 May 2026");
  }));

test("an item is struck out and restored, and both can be undone", () =>
  onPage(boot, { features: { a: dam }, address: "#/thing/a" }, async (page) => {
    await page.press("Strike out");
    await page.reads("This is struck out. It is kept, as in a level book, but not shown on maps.", "D1 struck out");
    assert.equal((await page.entries("a"))[1]?.strike, true);
    assert.ok(!page.presses.includes("Show on the map"), "it is on no map");
    await page.press("Restore");
    await page.shows(() => !page.words.includes("This is struck out"), "that it is there again");
    await page.reads("D1 restored");
    assert.deepEqual(
      (await page.entries("a")).map((e) => e.strike),
      [undefined, true, false],
    );
    await page.press("Undo");
    await page.reads("This is struck out");
    assert.equal((await page.phone.store.feature("a"))?.struck, true);
  }));

test("an item that cannot be struck out says why, and stays", () =>
  onPage(boot, { features: { a: dam }, address: "#/thing/a" }, async (page) => {
    await page.reads("Strike out");
    Object.assign(page.phone.store, { capture: () => Promise.reject(full()) });
    await page.press("Strike out");
    await page.reads("The phone's storage is full: this was not saved.");
    assert.ok(!page.words.includes("This is struck out"), page.words);
  }));

test("an item without a name or a place is called by its kind, and is not led to on the map", () =>
  onPage(boot, { features: { g: { kind: "gully-head", observedOn: "2026-03-01" } }, address: "#/thing/g" }, async (page) => {
    await page.reads("unnamed, not sent yet", "Strike out");
    assert.equal(page.heading, "Gully head");
    assert.ok(!page.presses.includes("Show on the map"));
  }));

test("an item that is not on the phone is said not to be", () =>
  onPage(boot, { features: { a: dam }, address: "#/thing/other" }, async (page) => {
    await page.reads("This item is not on this phone.");
    assert.equal(page.heading, "Not on this phone");
    await page.press("Back");
    await page.reads("Today: 1 entry");
  }));

test("the newest visit tells the condition, and visits to others are not this item's", () =>
  onPage(
    boot,
    {
      features: { a: dam, b: { ...dam, name: "D2" }, v: visit, w: { ...visit, of: "b", condition: "failed", observedOn: "2026-05-01" } },
      address: "#/thing/a",
    },
    async (page) => {
      await page.reads("Strike out", "Sound on 2 April 2026", "2 April 2026: sound Two stones out");
      assert.ok(!page.words.includes("failed"), page.words);
    },
  ));

test("a visit and the photos of its day are one record, on the item's page and on its own", () => {
  const photo = (digit: string, on: string) => ({ kind: "visit", of: "a", observedOn: on, photos: [digit.repeat(64)] });
  const features = { a: dam, v: visit, p: photo("1", "2026-04-02"), q: photo("2", "2026-04-02"), r: photo("3", "2026-04-09") };
  return onPage(boot, { features, address: "#/thing/a" }, async (page) => {
    await page.reads("2 April 2026: sound", "Other photos");
    assert.deepEqual([page.find(".visits > li").length, page.find(".visits .album li").length, page.find(".album li").length], [1, 2, 3]);
    await page.go("#/thing/v", "Visit: D1");
    assert.equal(page.find(".album li").length, 2);
  });
});

test("figures, checks and cautions that were worked out stand on the page", () =>
  onPage(
    boot,
    {
      features: { a: dam },
      address: "#/thing/a",
      sheet: () => ({
        figures: [{ name: "stepM", label: "Step", value: 0.42, unit: "m", basis: "levelled", rule: "toe less crest" }],
        checks: [{ name: "spacing", verdict: "fails", text: "The toe stands above the crest below.", rule: "head to toe" }],
        cautions: [{ text: "Ask for a permit first." }],
      }),
    },
    async (page) => {
      await page.reads("Step", "0.42", "The toe stands above the crest below.", "Ask for a permit first.");
    },
  ));

test("what is sent is not said to wait", () =>
  onPage(boot, { features: { a: dam } }, async (page) => {
    const { outbox } = page.phone.store;
    const [entry] = await page.entries("a");
    await outbox.settle(property, [{ id: entry!.id, n: 1, highSeq: entry!.deviceSeq }]);
    await page.shows(() => page.words.includes("0 not sent yet"), "that all is sent");
    await page.go("#/thing/a", "D1");
    await page.reads("Strike out");
    await page.shows(() => !page.words.includes("Check dam, not sent yet"), "that it is sent");
  }));

const gully = {
  kind: "thalweg",
  name: "G1",
  observedOn: "2026-03-01",
  geometry: {
    type: "LineString",
    coordinates: [
      [146.5, -20.25],
      [146.5, -20.24],
    ],
  },
};

test("a gully has its long section, and its dams lead to it and it to them", () =>
  onPage(
    boot,
    {
      features: { t: gully, d: { ...dam, thalweg: "t", chainageM: 10 } },
      sections: [
        {
          thalweg: "t",
          name: "G1",
          lengthM: 20,
          bed: [
            { chainageM: 0, levelM: 100 },
            { chainageM: 20, levelM: 101 },
          ],
          dams: [
            {
              id: "d",
              name: "D1",
              status: "built",
              chainageM: 10,
              chainageBasis: "taped",
              toeLevelM: 100.5,
              crestLevelM: 100.9,
              basis: "levelled",
            },
          ],
          pairs: [],
          proven: true,
          notes: ["The run closed."],
        },
      ],
      address: "#/thing/t",
    },
    async (page) => {
      await page.shows(() => page.images.some((i) => i.startsWith("Long section of G1")), "the drawing");
      await page.reads("D1");
      assert.ok(
        page.presses.some((p) => p.startsWith("D1")),
        page.presses.join(" | "),
      );
      await page.go("#/thing/d", "D1");
      assert.equal(page.leads(page.presses.find((p) => p.startsWith("G1"))!), "#/thing/t");
    },
  ));

test("a line says how long it is by its points, and lies on the map by its shape", () =>
  onPage(boot, { features: { t: { ...gully, kind: "fence", name: "F1" } }, address: "#/thing/t" }, async (page) => {
    await page.reads("F1");
    assert.equal(page.leads("Reshape"), "#/shape/t");
    assert.ok(!page.presses.includes("Move on the map"));
  }));
