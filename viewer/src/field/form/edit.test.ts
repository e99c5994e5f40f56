// What an edit offers of each kind of thing, what restores one that is struck out, and what comes
// after marking.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { boot } from "../shell/boot.tsx";

const on = { observedOn: "2026-03-01" };
const point = { type: "Point", coordinates: [146.5, -20.25] };
const features = {
  dam: { kind: "check-dam", name: "D1", status: "built", geometry: point, ...on },
  peg: { kind: "peg", name: "P1", geometry: point, ...on },
  fence: {
    kind: "fence",
    name: "F1",
    geometry: { type: "LineString", coordinates: [point.coordinates, [146.501, -20.25]] },
    ...on,
  },
  photo: { kind: "visit", of: "dam", photos: ["1".repeat(64)], picture: { from: "gallery" }, ...on },
  broken: { kind: "fence", part: "x", ...on },
};
const measured = "measured again at each visit, with its date.";
const struckOut = "This item is struck out.";

test("an edit has a position where the item is a point, and leads to a visit where that measures", () =>
  onPage(boot, { features, address: "#/thing/dam/edit" }, async (page) => {
    await page.reads("Edit D1", measured);
    assert.equal(page.leads("Record a visit"), "#/visit/dam");
    const positions = () => page.presses.filter((p) => p === "Position").length;
    assert.equal(positions(), 1);
    assert.ok(!page.words.includes("struck out") && page.presses.includes("Save"), page.words);
    for (const [id, heading, position] of [
      ["peg", "Edit P1", 1],
      ["fence", "Edit F1", 0],
      ["photo", "Edit photo", 0],
    ] as const) {
      await page.go(`#/thing/${id}/edit`);
      await page.shows(() => page.heading.toLowerCase().startsWith(heading.toLowerCase()), heading);
      assert.equal(positions(), position, id);
      assert.ok(!page.words.includes(measured) && !page.presses.includes("Record a visit"), id);
    }
  }));

test("an item that is struck out is restored by an edit that is saved, and by nothing else", () =>
  onPage(boot, { features, address: "#/thing/peg" }, async (page) => {
    const strike = () => page.phone.store.capture(property, [{ feature: "peg", strike: true }]);
    const isStruck = async () => (await page.phone.store.feature("peg"))!.struck;
    await page.reads("P1");
    await strike();
    await page.reads("struck out");
    await page.go("#/thing/peg/edit", "Edit P1");
    await page.reads(struckOut, "Save restores it. Go back to leave it struck out.");
    await page.press("More about it");
    await page.type("Name", "P2");
    await page.press("Back");
    await page.reads("edited, still struck out");
    assert.equal(await isStruck(), true);
    await page.go("#/thing/peg/edit", "Edit P2");
    await page.press("Restore and save");
    await page.reads("P2 restored");
    assert.equal(await isStruck(), false);
    const last = (await page.entries("peg")).pop()!;
    assert.deepEqual([last.strike, last.set], [false, undefined], "nothing but that");
    await page.go("#/thing/peg/edit", "Edit P2");
    await page.shows(() => page.presses.includes("Save"), "a plain save");
    await strike();
    await page.reads("This item was struck out while the form was open.");
    await page.press("More about it");
    await page.type("Name", "P3");
    await page.press("Restore and save");
    await page.reads("P2 restored, edited");
    const [restores, sets] = (await page.entries("peg")).slice(-2);
    assert.deepEqual([restores!.strike, sets!.set], [false, { name: "P3" }]);
  }));

test("a photo point is marked for its photo and a cover plot for its count; nothing comes after a peg", async () => {
  const after = async (page: Page, kind: string, next: string | undefined) => {
    await page.go(`#/mark/${kind}`);
    await page.press("Mark it here");
    await page.reads("Add what you know.");
    const nexts = page.presses.filter((p) => p.startsWith("Save and"));
    assert.deepEqual(nexts, next === undefined ? [] : [next]);
    if (next === undefined) return;
    await page.press(next);
    const [made] = await page.kept(kind);
    await page.shows(() => page.address === `#/${kind === "photo-point" ? "photo" : "visit"}/${made!.id}`, "what comes next");
  };
  for (const [kind, next] of [
    ["photo-point", "Save and take the photo"],
    ["cover-plot", "Save and count the cover"],
    ["peg", undefined],
  ] as const)
    await onPage(boot, {}, (page) => after(page, kind, next));
});

test("what is refused keeps the officer on the form until she leaves without it", () =>
  onPage(boot, { features, address: "#/thing/dam/edit" }, async (page) => {
    assert.ok(!page.presses.includes("Leave without saving this"));
    const broughtIntoSight: Element[] = [];
    const scrollIntoView = function (this: Element) {
      broughtIntoSight.push(this);
    };
    Object.assign(page.window.HTMLElement.prototype, { scrollIntoView });
    await page.type("Crest above bed", "-1");
    await page.press("Save");
    await page.reads("Not saved: ");
    await page.shows(() => broughtIntoSight.includes(page.find("[aria-invalid=true]")[0]!), "what is wrong in sight");
    assert.notEqual(page.wrongWith("Crest above bed"), "");
    assert.ok(!page.presses.includes("Leave without saving this"), "she wants to save");
    await page.press("Back");
    await page.press("Leave without saving this");
    await page.shows(() => page.address === "#/", "the screen before");
    assert.equal((await page.entries("dam")).length, 1);
    await page.go("#/thing/dam/fill", "Check dam");
    await page.type("Crest above bed", "-1");
    await page.press("Back");
    await page.reads("Leave without saving this");
    assert.equal(page.address, "#/thing/dam/fill");
  }));

test("an old value that could not be given today keeps nobody on the form who typed nothing, and stops a save in sight", () =>
  onPage(boot, { features: { dam: { ...features.dam, crestLengthM: 99_999 } }, address: "#/thing/dam/edit" }, async (page) => {
    await page.press("Back");
    await page.shows(() => page.address === "#/", "the screen before");
    await page.go("#/thing/dam/edit", "Edit D1");
    assert.ok(!page.inputs.includes("Crest length"), "it is folded away");
    await page.press("Save");
    await page.shows(() => page.inputs.includes("Crest length"), "what is wrong");
    assert.match(page.wrongWith("Crest length"), /out of range/);
  }));

test("an item may name another of the kinds that are meant, never itself, and keeps one that it names", () => {
  const other = { ...features.dam, name: "D2" };
  const all = {
    ...features,
    dam: { ...features.dam, thalweg: "track" },
    other,
    struck: { ...other, name: "D3" },
    track: { kind: "track", name: "T1", ...on },
    gully: { kind: "thalweg", name: "G1", ...on },
  };
  const before = ({ phone }: Page) => phone.store.capture(property, [{ feature: "struck", strike: true }]);
  return onPage(boot, { features: all, before, address: "#/thing/dam/edit" }, async (page) => {
    await page.press("More about it");
    const named = () => page.presses.flatMap((p) => /^[A-Z]\d/.exec(p) ?? []);
    assert.deepEqual(named(), ["T1"]);
    await page.press("None chosen", "Dam below");
    assert.deepEqual(named(), ["T1", "D2"]);
    await page.press(page.presses.find((p) => p.startsWith("D2"))!);
    await page.press(page.presses.find((p) => p.startsWith("T1"))!);
    assert.deepEqual(named().sort(), ["D2", "G1", "T1"]);
    await page.press("Save");
    await page.reads("D1 edited");
    assert.deepEqual((await page.entries("dam"))[1]!.set, { damBelow: "other" });
  });
});

test("a chainage is asked for from the end at which the bed of its gully was booked", () => {
  const all = { dam: { ...features.dam, thalweg: "gully" }, peg: features.peg, gully: { kind: "thalweg", name: "G1", ...on } };
  const bed = [0, 20].map((chainageM) => ({ chainageM, levelM: 10 }));
  const section = { thalweg: "gully", lengthM: 20, bed, dams: [], pairs: [], proven: false, notes: [] };
  return onPage(boot, { features: all, sections: [section], address: "#/thing/dam/edit" }, async (page) => {
    await page.press("More about it");
    const hint = "along the thalweg, from the downstream end, as its bed was booked";
    await page.reads(hint);
    assert.equal(page.words.split(hint).length, 2, "of nothing else");
    await page.go("#/thing/peg/edit", "Edit P1");
    await page.reads("Chainage");
    assert.ok(!page.words.includes("as its bed was booked"), page.words);
  });
});
