// The status screen: what is on this phone, what the server has, what it refused.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { property, self } from "../../storage/phone.test.ts";
import { boot } from "../shell/boot.tsx";

const peg = (name: string) => ({ kind: "peg", name, observedOn: "2026-03-01" });

test("the status screen tells what waits, who records, and on which device", () =>
  onPage(boot, { features: { a: peg("P1"), b: peg("P2") }, address: "#/status" }, async (page) => {
    await page.shows(() => page.facts["Entries not sent yet"] === "2", "what waits");
    await page.shows(() => page.facts["Kept by the browser"] === "yes, promised", "that it is kept");
    const { facts } = page;
    assert.equal(facts["Entries on this phone"], "2");
    assert.equal(facts["Photos not sent yet"], "0");
    assert.equal(facts["Last contact with the server"], "none yet");
    assert.match(facts["Oldest not sent yet"]!, /\d\d:\d\d/);
    assert.deepEqual([facts["Recorded by"], facts["Property"], facts["This phone's device number"]], ["R. Field", "Stony Block", "d1"]);
    assert.ok(!page.words.includes("refused by the server"), page.words);
    assert.ok(facts["Now"], "what the phone does about it");
    assert.ok(!page.find(".caution").some((c) => c.textContent === facts["Now"]), "nothing is wrong with it");
    assert.equal(page.leads("Add a property by a code"), "#/enrol");
    assert.equal(page.leads("Hand over by file"), "#/handover");
  }));

test("what waits is told of each property where there are several", () =>
  onPage(boot, { self: self("d1", { id: "lower", name: "Lower Flat" }), features: { a: peg("P1") }, address: "#/status" }, async (page) => {
    await page.phone.store.capture("lower", [{ set: peg("P2") }, { set: peg("P3") }]);
    await page.shows(() => page.facts["of these on Lower Flat"] === "2", "those of the other property");
    assert.equal(page.facts["of these on Stony Block"], "1");
    assert.equal(page.facts["Entries on this phone, of all properties"], "3");
  }));

test("an entry that the server refused stands with its reason, and leads to its edit", () =>
  onPage(boot, { features: { a: peg("P1") }, address: "#/status" }, async (page) => {
    const [entry] = await page.entries("a");
    await page.phone.store.outbox.settle(property, [{ id: entry!.id, refused: "The name is too long.", highSeq: 0 }]);
    await page.reads("1 entry refused by the server", "The name is too long.");
    assert.equal(page.leads("P1 The name is too long."), "#/thing/a/edit");
  }));

test("a browser that has promised nothing is warned of, and can be asked again", () =>
  onPage(boot, {}, async (page) => {
    page.phone.kept = false;
    await page.go("#/status");
    await page.shows(() => page.facts["Kept by the browser"] === "not promised", "not promised");
    page.phone.kept = true;
    await page.press("Ask the browser again");
    await page.shows(() => page.facts["Kept by the browser"] === "yes, promised", "promised");
  }));
