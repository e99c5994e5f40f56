// The map of a property: what is chosen on it, its list, and the words drawn on it.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
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
    assert.ok(!page.words.includes("Visits and photos"), "what is chosen takes its place");
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
    assert.ok(!page.words.includes("Visits and photos"), "there are none");
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

test("what was chosen elsewhere is brought to the middle of the map, what is tapped leaves it where it is", () => {
  const far = { b: { ...features.a, name: "D2", geometry: point(5000, 0) }, c: { ...features.a, name: "D3", geometry: point(5000, 90) } };
  return onPage(boot, { features: { a: features.a, ...far }, address: "#/map" }, async (page) => {
    await page.reads("Scale bar");
    await page.clock.pass(1000);
    await page.touchMap([-159, 0]);
    await page.reads("D1");
    await page.clock.pass(1000);
    await page.press("Deselect");
    await page.touchMap([0, 0]);
    assert.ok(!page.presses.includes("Open"), "the map stood still");
    await page.press("List of items");
    await page.press(page.presses.find((p) => p.startsWith("D2"))!);
    await page.clock.pass(1000);
    await page.press("Deselect");
    await page.touchMap([0, 0]);
    await page.reads("D2");
    await page.go("#/");
    await page.go("#/map/c", "Map");
    await page.reads("D3");
    await page.clock.pass(1000);
    await page.press("Deselect");
    await page.touchMap([0, 0]);
    await page.reads("D3 Check dam, built");
  });
});

test("a visit and a photo are named by their day and lead to their pages, and what is struck out is not there", () =>
  onPage(
    boot,
    {
      features: {
        ...{ a: features.a, b: { ...features.b, name: undefined }, v: features.v },
        f: { kind: "visit", of: "a", observedOn: "2026-05-03", photos: ["00"], geometry: point(100, -60) },
        s: { kind: "visit", of: "a", observedOn: "2026-05-04", condition: "sound", geometry: point(50, 0) },
        u: { kind: "visit", of: "a", observedOn: "2026-05-04", condition: "sound" },
      },
      before: ({ phone }) => phone.store.capture(property, [{ feature: "s", strike: true }]),
      address: "#/map",
    },
    async (page) => {
      await page.reads("Scale bar", "Visits and photos: 2");
      await page.clock.pass(1000);
      const tap = async (east: number, north: number) => page.touchMap([1.59 * (east - 100), -1.59 * north]);
      await tap(100, -60);
      assert.ok(!page.presses.includes("Open"), "visits are not drawn yet");
      await page.press("Visits and photos: 2");
      const placed = async (...words: string[]) => {
        await page.reads(...words);
        assert.ok(!page.presses.includes("Move") && !page.presses.includes("Reshape"), page.presses.join());
        await page.press("Open");
      };
      await tap(100, -60);
      await placed("Photo: D1 3 May 2026");
      assert.equal(page.address, "#/photo/a");
      await page.go("#/map", "Map");
      await page.clock.pass(1000);
      await page.press("Visits and photos: 2");
      await tap(100, 50);
      await placed("Visit: D1 2 April 2026");
      assert.equal(page.address, "#/thing/v");
      await page.go("#/map", "Map");
      await page.clock.pass(1000);
      await tap(200, 0);
      await page.reads("Peg", "Move");
      assert.ok(!page.words.includes("Peg Peg"), "its kind is its name");
    },
  ));

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
