// The map of a property: what is chosen on it, its list, and the words drawn on it.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { boot } from "../shell/boot.tsx";

const lon = 146.5,
  lat = -20.25;
const point = (eastM: number, northM: number) => ({ type: "Point", coordinates: [lon + eastM / 104_440, lat + northM / 110_700] });
const seen = { observedOn: "2026-03-01" };
const features = {
  a: { kind: "check-dam", name: "D1", status: "built", ...seen, geometry: point(0, 0) },
  b: { kind: "peg", name: "P7", ...seen, geometry: point(200, 0) },
  c: {
    kind: "track",
    name: "T1",
    ...seen,
    geometry: { type: "LineString", coordinates: [point(0, 100).coordinates, point(200, 100).coordinates] },
  },
  n: { kind: "hazard", name: "H1", ...seen },
  v: { kind: "visit", of: "a", observedOn: "2026-04-02", condition: "sound", geometry: point(100, 50) },
};

test("what is tapped on the map is named, with the way to it and what can be done", () =>
  onPage(boot, { features, address: "#/map" }, async (page) => {
    await page.reads("Scale bar");
    assert.equal(page.heading, "Map");
    assert.ok(!page.words.includes("Nothing on the map yet"));
    await page.stand(lon, lat - 300 / 110_700, 5);
    await page.shows(
      () => page.canvas.words.includes("D1") && page.canvas.words.includes("T1"),
      `names on the map: ${page.canvas.words.join()}`,
    );
    assert.ok(!page.canvas.words.includes("H1"), "it has no place");
    await page.go("#/");
    await page.go("#/map/a", "Map");
    await page.reads("D1 Check dam, built, 300 m north");
    assert.deepEqual(
      ["Deselect", "Move", "Open"].map((b) => page.presses.includes(b)),
      [true, true, true],
    );
    await page.press("Deselect");
    await page.shows(() => !page.presses.includes("Deselect"), "nothing chosen");
    await page.press("Visits and photos: 1");
    assert.ok(page.isPressed("Visits and photos: 1"));
    await page.press("Visits and photos: 1");
    assert.ok(!page.isPressed("Visits and photos: 1"));
    await page.press("Show where I am");
    await page.press("Zoom in");
    await page.press("Zoom out");
    await page.press("Show the whole property");
    await page.clock.pass(1000);
    await page.press("List of items");
    assert.equal(page.heading, "Items");
    await page.press(page.presses.find((p) => p.startsWith("T1"))!);
    await page.reads("T1");
    assert.equal(page.heading, "Map");
    assert.ok(page.presses.includes("Reshape") && !page.presses.includes("Move"));
    await page.press("Open");
    await page.shows(() => page.address === "#/thing/c", "its page");
  }));

test("the item nearest to a tap is chosen, a tap beside all chooses nothing", () =>
  onPage(boot, { features: { a: features.a, b: features.b }, address: "#/map" }, async (page) => {
    await page.reads("Scale bar");
    await page.clock.pass(1000);
    for (const x of [-159, 159]) {
      await page.touchMap([x, 0]);
      await page.shows(() => page.presses.includes("Open"), "one chosen");
      assert.ok(page.words.includes(x < 0 ? "D1" : "P7"), page.words);
      await page.press("Deselect");
    }
    await page.touchMap([0, 0]);
    assert.ok(!page.presses.includes("Open"), "halfway between them");
  }));

test("the list of items leads to what the map cannot show, and back leads to the map", () =>
  onPage(boot, { features, address: "#/map" }, async (page) => {
    await page.press("List of items");
    await page.reads("4 items, newest first: no GPS position yet");
    await page.type("Search by name", "h1");
    await page.reads("1 item of 4");
    await page.press("Back");
    assert.equal(page.heading, "Map");
    await page.press("List of items");
    await page.press(page.presses.find((p) => p.startsWith("H1"))!);
    await page.shows(() => page.address === "#/thing/n", "its page");
  }));

test("with nothing recorded and no position the map says so", () =>
  onPage(boot, { address: "#/map" }, async (page) => {
    await page.reads("Nothing on the map yet, and no GPS position.");
    assert.ok(page.isDisabled("Show where I am"));
    await page.press("List of items");
    await page.reads("There is no item yet.");
  }));

test("a list is ordered by what is nearest, filtered by kind, and shown twenty at a time", () => {
  const many = Object.fromEntries(
    Array.from({ length: 23 }, (_, i) => [`p${i}`, { kind: "peg", name: `P${i + 1}`, ...seen, geometry: point(0, 10 * i) }]),
  );
  return onPage(boot, { features: { ...many, a: { ...features.a, geometry: point(0, -15) } }, address: "#/visit" }, async (page) => {
    await page.go("#/photo");
    await page.stand(lon, lat, 5);
    await page.reads("24 items");
    await page.press("Nearest first");
    await page.reads(", nearest first");
    const listed = () => page.presses.filter((p) => /^(P|D)\d/.test(p)).map((p) => p.split(" ")[0]);
    assert.deepEqual(listed().slice(0, 4), ["P1", "P2", "D1", "P3"]);
    assert.equal(listed().length, 20);
    await page.press("Show 4 more");
    assert.equal(listed().length, 24);
    await page.press("All kinds");
    await page.press("Check dam", "Show only");
    await page.reads("1 item of 24");
    assert.deepEqual(listed(), ["D1"]);
    await page.press("Check dam");
    await page.press("All kinds", "Show only");
    await page.reads("24 items");
    for (let i = 1; i <= 8; i++) {
      await page.clock.pass(3000);
      await page.stand(lon, lat + (i * 15) / 110_700, 5);
    }
    await page.reads("You have moved.");
    await page.press("Nearest first");
    await page.shows(() => !page.words.includes("You have moved."), "ordered again");
    assert.equal(listed()[0], "P13");
  });
});
