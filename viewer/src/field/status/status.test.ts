// The status screen: what is on this phone, what the server has, what it refused.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { property, self } from "../../storage/phone.test.ts";
import { Server } from "../../sync/server.test.ts";
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

test("properties with nothing that waits are not told", () =>
  onPage(boot, { self: self("d1", { id: "lower", name: "Lower Flat" }), features: { a: peg("P1") }, address: "#/status" }, async (page) => {
    const told = () => Object.entries(page.facts).filter(([label]) => label.startsWith("of these on "));
    await page.shows(() => told().length > 0, "what waits");
    assert.deepEqual(told(), [["of these on Stony Block", "1"]]);
  }));

const hello = (answer: object) => {
  const server = new Server();
  server.odd = (asked) => (asked.type === "hello" ? answer : undefined);
  return { server, address: "#/status" };
};

test("a phone that the server refuses is told why, and led to enrol again", () => {
  const problem = { path: "token", reason: "the device was revoked", fix: "ask the office" };
  return onPage(boot, hello({ type: "problem", closing: true, problem }), async (page) => {
    await page.shows(() => page.find(".caution").some((c) => c.textContent!.includes("The device was revoked.")), "why");
    assert.equal(page.facts["Now"], undefined, "it is said above");
    assert.equal(page.leads("Enrol this phone again"), "#/enrol");
  });
});

test("a clock that is off is told of, and when the server was heard last", () => {
  const server = new Server();
  const limits = { entries: 300, bytes: 1 << 20 };
  server.odd = ({ type, device }) =>
    type === "hello"
      ? {
          type: "welcome",
          version: 2,
          device,
          clockMS: Date.now() - 600_000,
          properties: [property],
          epoch: "",
          limits,
          about: server.about,
        }
      : undefined;
  return onPage(boot, { server, address: "#/status" }, async (page) => {
    await page.reads("This phone's clock is 10 minutes ahead of the server's.");
    await page.shows(() => /^\d\d:\d\d$/.test(page.facts["Last contact with the server"]!), "when");
    page.phone.quotaBytes = 2 ** 40;
    await page.go("#/", "Stony Block");
    await page.go("#/status", "Sync status");
    await page.shows(() => !page.words.includes("Room is low"), "that there is room");
    page.phone.quotaBytes = 60e6;
    await page.go("#/", "Stony Block");
    await page.go("#/status", "Sync status");
    await page.reads("Room is low: at most 100 more photos.");
  });
});

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
