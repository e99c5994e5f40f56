// The first load of a property, and the list of properties, with the server in reach and without.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../../device/page.test.ts";
import { entryOf, property, Register, self } from "../../storage/phone.test.ts";
import { Server } from "../../sync/server.test.ts";
import { boot } from "../shell/boot.tsx";

const serving = (items: number, ...more: readonly string[]) => {
  const server = new Server();
  for (const id of more) {
    server.registers.set(id, new Register());
    server.about = [...server.about, { id, name: id }];
  }
  for (let i = 0; i < items; i++) server.of(property).take(entryOf(`p${i}`, { kind: "peg", name: `P${i}`, observedOn: "2026-03-02" }));
  return server;
};

test("a property that is all on the phone is said to be, with what there is of it", async () => {
  await onPage(boot, { server: serving(2), address: "#/load" }, async (page) => {
    await page.reads("The property is on this phone", "2 items, 2 without a position of the property.");
    assert.ok(!page.words.includes("so far") && !page.words.includes("Loading the property"), page.words);
    await page.press("Start");
    assert.equal(page.address, "#/");
  });
  await onPage(boot, { server: serving(0), address: "#/load" }, async (page) => {
    await page.reads("The property is on this phone", " of the property.");
    assert.ok(!page.words.includes("so far"), page.words);
  });
});

test("with no signal what is there so far is told, and with nothing nothing", async () => {
  const silent = ["No signal: the property is not all on this phone yet", "Start without it"];
  await onPage(boot, { features: { a: { kind: "peg", observedOn: "2026-03-01" } }, address: "#/load" }, async (page) => {
    await page.reads(...silent, "1 item, 1 without a position of the property so far.", "No answer from the server.");
    assert.ok(!page.words.includes("works with no signal") && !page.words.includes("being saved on this phone"), page.words);
  });
  await onPage(boot, { address: "#/load" }, async (page) => {
    await page.reads(...silent);
    assert.ok(!page.words.includes("of the property so far"), page.words);
  });
});

test("where the browser has promised nothing, the screen of the load says what helps", async () => {
  const helps = "Putting this page on the home screen usually makes it promise.";
  for (const kept of [true, false])
    await onPage(boot, { address: "#/" }, async (page) => {
      page.phone.kept = kept;
      await page.go("#/status");
      await page.shows(() => page.facts["Kept by the browser"] === (kept ? "yes, promised" : "not promised"), "what it says");
      await page.go("#/load", "Stony Block");
      assert.equal(page.words.includes(helps), !kept);
    });
});

test("while the server has not answered it is loading, and one that refuses is said to", async () => {
  const server = serving(2);
  server.silent = true;
  await onPage(boot, { server, address: "#/load" }, async (page) => {
    await page.reads("Loading the property", "Start while it loads");
  });
  const refusing = serving(2);
  refusing.odd = () => ({
    type: "problem",
    problem: { path: "token", reason: "the device was revoked", fix: "ask the office" },
    closing: true,
  });
  await onPage(boot, { server: refusing, address: "#/load" }, async (page) => {
    await page.reads("not all on this phone yet", "Start without it", "The server refuses this phone. The device was revoked.");
  });
  const before = async ({ phone }: Page) => phone.slots.set("headcut-link", JSON.stringify({ lastSentMS: 1, clockOffS: 0 }));
  await onPage(boot, { before, address: "#/load" }, async (page) => {
    await page.reads("not all on this phone yet", "Start without it", "Last contact"); // there was signal on an earlier day
  });
});

test("the list of properties says whether all are on this phone, and which is open", async () => {
  const two = self("d1", { id: "lower", name: "Lower Flat" });
  await onPage(boot, { self: two, server: serving(2, "lower"), address: "#/property" }, async (page) => {
    await page.reads("All of these are on this phone.");
    const pressed = () => page.find(".properties [aria-pressed=true] .name").map((n) => n.textContent);
    assert.deepEqual(pressed(), ["Stony Block"]);
    await page.go("#/start", "Properties");
    await page.reads("All 2 are on this phone");
    assert.ok(!page.words.includes("Not all on this phone yet"));
  });
  await onPage(boot, { self: two, address: "#/start" }, async (page) => {
    await page.reads("Not all on this phone yet", "No answer from the server.");
    assert.ok(!page.words.includes("Checking whether the page works"), page.words);
    await page.stand(146.5, -20.25, 4);
    await page.reads("nothing recorded on this phone yet");
    await page.press(page.presses.find((name) => name.startsWith("Lower Flat"))!);
    assert.deepEqual([page.address, page.heading], ["#/", "Lower Flat"]);
  });
});

test("each property says how far away it is and what of it waits, and is opened by a press", async () => {
  const at = (lon: number) => ({ kind: "peg", observedOn: "2026-03-01", geometry: { type: "Point", coordinates: [lon, -20.25] } });
  const three = self("d1", { id: "lower", name: "Lower Flat" }, { id: "gone", name: "Gone Flat" });
  await onPage(boot, { self: three, quotaBytes: 2 ** 40, features: { a: at(146.5) }, address: "#/property" }, async (page) => {
    await page.phone.store.capture("lower", [{ set: at(146.51), photo: { bytes: new ArrayBuffer(1), takenFor: "" } }, { set: at(146.52) }]);
    await page.phone.store.outbox.told(three.properties.slice(0, 2), true);
    await page.stand(146.5, -20.25, 4);
    const lines = () => page.find(".properties li").map((li) => li.textContent!);
    await page.shows(() => lines().some((line) => line.includes("2 entries and 1 photo not sent yet")), "what waits");
    const [stony, lower, gone] = lines();
    assert.match(stony!, /^Stony Block1 entry not sent yethere, last recorded \d\d:\d\d$/);
    assert.match(lower!, /^Lower Flat.*1\.0 km away, last recorded/);
    assert.match(gone!, /^Gone Flatnothing waits to be sentnothing recorded on this phone yetThe office has not given this phone/);
    await page.press(page.presses.find((name) => name.startsWith("Stony Block"))!);
    assert.equal(page.address, "#/", "it is open");
    await page.go("#/property");
    await page.press(page.presses.find((name) => name.startsWith("Lower Flat"))!);
    assert.deepEqual([page.address, page.heading], ["#/load", "Lower Flat"]);
  });
});

test("a merged property on which something is unfinished is open, and not the one it is part of", () =>
  onPage(boot, { self: self("d1", { id: "lower", name: "Lower Flat" }), address: "#/property" }, async (page) => {
    await page.phone.store.openProperty(property);
    await page.phone.store.keepDraft(`form/${property}/peg`, { name: "P1" });
    await page.phone.store.outbox.told(
      [
        { id: property, name: "Stony Block", into: "lower" },
        { id: "lower", name: "Lower Flat" },
      ],
      true,
    );
    await page.reads("merged into another property; finish here what was begun");
    assert.deepEqual(
      page.find(".properties [aria-pressed=true] .name").map((n) => n.textContent),
      ["Stony Block"],
    );
  }));

test("a property is begun under a name that no other has, and is worked on at once", () =>
  onPage(boot, { address: "#/property/new" }, async (page) => {
    await page.type("Name of the property", "stony block");
    await page.press("Begin");
    await page.reads("Stony Block is on this phone already.");
    await page.type("Name of the property", "Far Block");
    assert.ok(!page.words.includes("on this phone already"), page.words);
    await page.press("Begin");
    await page.reads("Far Block begun");
    assert.deepEqual([page.address, page.heading], ["#/", "Far Block"]);
    await page.go("#/property");
    await page.reads("begun on this phone, not accepted by the office yet");
  }));
