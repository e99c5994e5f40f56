// The landholder's map: what it shows at first, what a tap means, and what is brought into sight.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn, type Page } from "../device/page.test.ts";
import { groundMetresPerUnit, project } from "../map/projection.ts";
import { scaleBar } from "../map/scale.ts";
import { ink } from "../map/symbols.ts";
import type { Item, Land } from "./land.ts";
import { type LandMap, landMap } from "./map.ts";

const lat = -20.25;
const [west, east] = [146.5, 146.51];
const acrossPx = 390 - 2 * 46; // of the window, less its margins: from the west to the east
const metresPerPx = (() => {
  const [x, y] = project([west, lat], west);
  return ((project([east, lat], west)[0] - x) / acrossPx) * groundMetresPerUnit(y);
})();
/** Moves the map so far: with two moves of the finger it follows from the first on. */
const pan = async (page: Page, x: number, y: number) => {
  await page.touchMap([-x, -y], [x, y]);
  await page.clock.pass(500);
};

/** A place so many pixels east of the west one, on the map as it is at first. */
const at = (eastPx: number) => ({
  type: "Point" as const,
  coordinates: [west + (eastPx / acrossPx) * (east - west), lat] as [number, number],
});
/** A line along the works, from so many pixels to so many east of the west one. */
const along = (fromPx: number, toPx: number, northDeg = 0): Item["geometry"] => ({
  type: "LineString",
  coordinates: [fromPx, toPx].map((px) => [at(px).coordinates[0], lat + northDeg] as [number, number]),
});
const westPx = -acrossPx / 2; // where it is shown, from the middle of the map

const item = (id: string, eastPx: number, more: Partial<Item> = {}): Item => ({
  ...{ id, kind: "check-dam", name: id, status: "built", geometry: at(eastPx), wrong: [], plain: [], facts: [], photos: [] },
  ...more,
});
const kind = (name: string, work: boolean) => ({ name, label: name, plural: name, work, mark: "", colour: "#333333" });
const land = (works: Item[], others: Item[] = [], more: Partial<Land> = {}): Land => ({
  ...{
    property: { name: "Stony Block" },
    inspected: [],
    done: [],
    kinds: [kind("check-dam", true), kind("hazard", false), kind("gate", false)],
  },
  ...{ hazards: [], watch: [], works, others, sections: [], count: works.length + others.length },
  ...more,
});
const { status: _, ...unworked } = item("x", 0);
const other = (id: string, eastPx: number, more: Partial<Item> = {}): Item => ({
  ...unworked,
  id,
  name: id,
  kind: "gate",
  geometry: at(eastPx),
  ...more,
});

interface Shown {
  readonly map: LandMap;
  readonly page: Page;
  /** What a tap there picks, in pixels from the middle of the map. */
  readonly tap: (x: number, y?: number) => Promise<string | null>;
  /** Metres to a pixel, as told last, and how often that was told. */
  readonly scale: () => number;
  readonly told: () => number;
}

const onMap = (shown: Land, job: (is: Shown) => Promise<void>) =>
  drawn(h("div", { class: "map" }), async (page) => {
    const picked: (string | null)[] = [];
    let [metres, told] = [0, 0];
    const moved = (m: number) => {
      metres = m;
      told++;
    };
    const map = landMap(page.find(".map")[0] as HTMLElement, { picked: (id) => picked.push(id), moved });
    map.show(shown, () => true);
    await page.clock.pass(100);
    const tap = async (x: number, y = 0) => {
      await page.touchMap([x, y]);
      assert.ok(picked.length > 0, "a tap says what it picks");
      return picked.splice(0).pop()!;
    };
    await job({ map, page, tap, scale: () => metres, told: () => told });
    map.dispose();
  });
const near = (got: number, want: number, what: string) => assert.ok(Math.abs(got / want - 1) < 1e-3, `${what}: ${got}, want ${want}`);
const far = item("E", acrossPx);

test("at first a gully with a work in it is seen from end to end, and not one beside it or far longer things", () => {
  const line = (id: string, kind: string, fromPx: number, toPx: number, northDeg = 0) =>
    other(id, 0, { kind, geometry: along(fromPx, toPx, northDeg) });
  const works = [item("one", acrossPx / 4), item("two", acrossPx / 2)];
  const firstScale = async (others: Item[]) => {
    let metres = 0;
    await onMap(land(works, others), async ({ scale }) => void (metres = scale()));
    return metres;
  };
  return (async () => {
    const alone = await firstScale([]);
    near(alone, metresPerPx / 4, "the works alone");
    near(await firstScale([line("bed", "thalweg", 0, acrossPx)]), metresPerPx, "with the bed that they stand in");
    near(await firstScale([line("edge", "gully-edge", 0, acrossPx, 0.0001)]), metresPerPx, "with its edge, 11 m off");
    near(await firstScale([line("beside", "thalweg", 0, acrossPx, 0.0005)]), alone, "with one 55 m off");
    near(await firstScale([line("track", "track", 0, acrossPx)]), alone, "with a track");
    near(
      await firstScale([line("bed", "thalweg", 0, acrossPx, 0.0005), other("pit", acrossPx / 3, { kind: "hazard", state: "danger" })]),
      alone,
      "with a hazard",
    );
  })();
});

test("the works fill the map at first, and a tap picks what lies under the finger", () =>
  onMap(land([item("D1", 0), far], [other("G", 100)]), async ({ tap, scale, page }) => {
    near(scale(), metresPerPx, "scale");
    assert.equal(await tap(westPx), "D1");
    assert.equal(await tap(westPx + 27), "D1");
    assert.equal((page.find(".map")[0] as HTMLElement).dataset["drawn"], "2");
    assert.equal(await tap(westPx + 30), null);
    assert.equal(await tap(-westPx), "E");
    assert.equal(await tap(westPx + 100), null, "of a gate there is nothing to read");
    for (const word of ["D1", "E", "G"]) assert.ok(page.canvas.words.includes(word), `${word}: ${page.canvas.words}`);
  }));

test("of a hazard beside a work the hazard is meant", () =>
  onMap(
    land([item("D1", 0), far], [other("H", 34.8, { kind: "hazard", state: "danger" })], {
      hazards: [{ id: "H", text: "Deep.", state: "danger" }],
    }),
    async ({ tap }) => {
      assert.equal(await tap(westPx + 17.2), "H");
      assert.equal(await tap(westPx + 15), "D1");
    },
  ));

test("works at one place stand beside each other: built ones small, what is still to be done whole", async () => {
  for (const [status, state, whole] of [
    ["built", undefined, false],
    ["proposed", undefined, true],
    ["built", "attention", true],
  ] as const)
    await onMap(land([...[1, 2, 3, 4, 5, 6].map((i) => item(`D${i}`, 0, { status, ...(state && { state }) })), far]), async ({ tap }) => {
      assert.ok((await tap(westPx, -40)) !== null, "one that stepped aside");
      assert.equal((await tap(westPx, -53)) !== null, whole, `${status} ${state}`);
    });
});

test("what stands counts more than what is pegged, and that more than what is planned", () =>
  onMap(
    land([
      item("planned", 0, { status: "proposed" }),
      item("pegged", 0, { status: "pegged" }),
      item("wrong", 0, { state: "failed" }),
      item("built", 0),
      far,
    ]),
    async ({ tap }) => {
      assert.equal(await tap(westPx), "wrong");
      assert.equal(await tap(westPx, -45), "built");
      assert.equal(await tap(westPx + 45), "pegged");
      assert.equal(await tap(westPx, 45), "planned");
    },
  ));

test("it opens on the works, and shows all that there is when asked; the buttons turn the scale", () =>
  onMap(land([item("D1", 0), far], [other("G", 3 * acrossPx)]), async ({ map, page, scale, tap }) => {
    near(scale(), metresPerPx, "on the works");
    map.fitAll();
    await page.clock.pass(500);
    near(scale(), 3 * metresPerPx, "all");
    assert.equal(await tap(westPx), "D1");
    map.zoomBy(1);
    await page.clock.pass(500);
    near(scale(), 1.5 * metresPerPx, "closer");
    map.zoomBy(-1);
    await page.clock.pass(500);
    near(scale(), 3 * metresPerPx, "and back");
  }));

test("with no works it opens on what else there is; what is taken off the map cannot be picked", async () => {
  await onMap(land([], [other("G", 0), other("F", 2 * acrossPx)]), async ({ scale }) => near(scale(), 2 * metresPerPx, "scale"));
  await onMap(land([]), async ({ scale, map }) => {
    map.fitAll();
    assert.equal(scale(), 0);
  });
  await onMap(land([item("D1", 0), far]), async ({ map, tap, scale, page }) => {
    map.show(land([item("D1", 0), far, item("D9", 3 * acrossPx)]), (w) => w.id !== "D1");
    await page.clock.pass(100);
    near(scale(), metresPerPx, "the view stays");
    assert.equal(await tap(westPx), null);
    assert.equal(await tap(-westPx), "E");
  });
});

test("as long as more comes, the map follows, unless somebody moved it", async () => {
  const more = land([item("D1", 0), far, item("D9", 2 * acrossPx)], [], { count: 4 });
  await onMap(land([item("D1", 0), far], [], { count: 4 }), async ({ map, page, scale }) => {
    map.show(more, () => true);
    await page.clock.pass(100);
    near(scale(), 2 * metresPerPx, "it follows");
  });
  await onMap(land([item("D1", 0), far], [], { count: 4 }), async ({ map, page, scale }) => {
    await pan(page, 0, 30);
    map.show(more, () => true);
    await page.clock.pass(100);
    near(scale(), metresPerPx, "it was moved");
  });
});

test("what is chosen from a list is brought into sight, close and with its name", () =>
  onMap(land([item("D1", 0), far, item("N", 150, { name: "Whoa-boy at the gate" })]), async ({ map, page, scale, tap }) => {
    const chosen = async (id: string | null, bring = true) => {
      map.select(id, bring);
      await page.clock.pass(500);
    };
    await chosen("D1", false);
    near(scale(), metresPerPx, "it was chosen on the map");
    await chosen("D1");
    const closeM = 0.5 * groundMetresPerUnit(project([west, lat], west)[1]);
    near(scale(), closeM, "close");
    assert.equal(await tap(0), "D1");
    /** Moves the map so far, chooses, and tells whether it came back to the middle. */
    const back = async (id: string, x: number, y: number) => {
      await chosen(id); // in the middle or seen whole
      map.select(null, false);
      await pan(page, x, y);
      await chosen(id);
      const is = (await tap(0)) === id;
      if (!is) await chosen("E").then(() => chosen(id));
      return is;
    };
    assert.equal(await back("D1", 0, -320 + 49), false, "its symbol and name are in sight");
    assert.equal(await back("D1", 0, -320 + 43), true);
    assert.equal(await back("D1", -195 + 21, 0), false);
    assert.equal(await back("D1", -195 + 15, 0), true);
    await chosen("E");
    await chosen("N");
    assert.equal(await back("N", 195 - 93, 0), false);
    assert.equal(await back("N", 195 - 87, 0), true);
  }));

test("the printer is given a picture of the whole property, as wide as a sheet, and the map stays as it was", () =>
  onMap(land([item("D1", 0), far]), async ({ map, page, tap, scale }) => {
    map.zoomBy(1);
    await page.clock.pass(500);
    await pan(page, 40, 0);
    const { words, boxes, texts } = page.canvas;
    for (const drawn of [words, boxes, texts]) drawn.length = 0;
    const [width, height] = [1000, 820];
    const picture = map.picture()!;
    assert.deepEqual([picture.width, picture.height], [width, height]);
    for (const name of ["D1", "E"]) assert.ok(words.includes(name), `${name} is in it: ${words.join()}`);
    const bar = scaleBar((metresPerPx * acrossPx) / (width - 2 * 64 - 60), width / 3);
    const [ground, ...parts] = boxes.slice(-5);
    assert.deepEqual(
      parts.map(({ colour }) => colour),
      [ink, "#ffffff", ink, "#ffffff"],
    );
    parts.forEach(({ x, y, wide, high }, i) => {
      near(wide, bar.px / 4, "a quarter of the bar");
      near(x, 12 + (i * bar.px) / 4, "beside the one before");
      assert.ok(y > ground!.y && y + high < height, `${y} in the ground`);
    });
    assert.deepEqual([ground!.colour, ground!.x, ground!.y + ground!.high], ["#ffffff", 0, height]);
    assert.equal(page.canvas.calls.get("strokeRect"), 4);
    const { words: length, x, y } = texts[texts.length - 1]!;
    assert.equal(length, bar.text);
    assert.ok(x > 12 + bar.px && x + 9 * length.length < ground!.wide, `${x} beside the bar on the ground of ${ground!.wide}`);
    assert.ok(y > ground!.y && y < height, `${y} on the ground`);
    await page.clock.pass(100);
    near(scale(), metresPerPx / 2, "scale");
    assert.equal(await tap(2 * westPx + 40), "D1");
    const { style } = page.find(".map")[0] as HTMLElement;
    assert.deepEqual([style.width, style.height, style.maxHeight], ["", "", ""]);
  }));

test("what is chosen has a ring and its name until another is, wherever it stepped aside to", () =>
  onMap(
    land([item("D1", 0), item("D2", 0, { status: "pegged" }), far], [other("H", 200, { kind: "hazard" })]),
    async ({ map, page, tap, scale }) => {
      const { calls, words } = page.canvas;
      /** How many pictures and which names are drawn once something else is chosen. */
      const chosen = async (id: string | null, bring = false) => {
        calls.clear();
        words.length = 0;
        map.select(id, bring);
        await page.clock.pass(500);
        return [calls.get("drawImage") ?? 0, words.filter((w) => w === id).length];
      };
      const [none] = await chosen(null);
      for (const id of ["D1", "D2", "H"]) {
        const [drawn, named] = await chosen(id);
        assert.ok(drawn! > none! + 1 && named === 1, `${id}: ${drawn}, ${named}`);
      }
      assert.equal((await chosen("D1"))[0], (await chosen("E"))[0], "one is chosen at a time");
      assert.equal((await chosen("H")).length, 2);
      assert.deepEqual(await chosen(null), [none, 0]);
      assert.deepEqual(await chosen("D9"), [none, 0], "there is none of this name");
      await chosen("D2", true);
      near(scale(), 0.5 * groundMetresPerUnit(project([west, lat], west)[1]), "close");
      assert.equal(await tap(0), "D1");
    },
  ));

test("what needs attention has its mark on the map, and what can hurt is there whatever else stands there", async () => {
  const strokes = async (works: Item[], others: Item[] = [], select: string | null = null) => {
    let drawn = 0;
    await onMap(land(works, others), async ({ page, map }) => {
      map.select(select, false);
      await page.clock.pass(100);
      drawn = page.canvas.calls.get("stroke")!;
    });
    return drawn;
  };
  const dams = (state: "attention" | "failed") => [item("D1", 0, { state }), item("E", acrossPx, { state })];
  const head = (state: "attention" | "failed") => [other("G", 100, { kind: "gully-head", state })];
  for (const select of [null, "D1"])
    assert.ok((await strokes(dams("attention"), [], select)) > (await strokes(dams("failed"), [], select)), `dams, ${select}`);
  for (const select of [null, "G"])
    assert.ok((await strokes([far], head("attention"), select)) > (await strokes([far], head("failed"), select)), `head, ${select}`);
  const crowd = Array.from({ length: 60 }, (_, i) => item(`D${i}`, 0, { state: "failed" }));
  const pit = other("H", 0, { kind: "hazard", state: "danger" });
  await onMap(land([...crowd, far], [pit]), async ({ tap }) => assert.equal(await tap(westPx), "H"));
});

test("a land that came again is drawn as it is now, with nothing of the one before", () =>
  onMap(
    land([item("D1", 0), item("E", acrossPx, { name: "The dam below the gate" }), item("X", acrossPx / 2), item("D9", 2 * acrossPx)], [], {
      count: 5,
    }),
    async ({ map, page, scale }) => {
      const now = land([item("D1", 0), far], [], { count: 3 });
      map.show(now, () => true);
      await page.clock.pass(100);
      near(scale(), metresPerPx, "all of what there is");
      page.canvas.words.length = 0;
      map.fitAll();
      await page.clock.pass(500);
      near(scale(), metresPerPx, "and no more when asked for all");
      for (const name of ["X", "D9", "The dam below the gate"]) assert.ok(!page.canvas.words.includes(name), name);
    },
  ));

test("of thousands of items those that lie on each other are drawn once, and what finds no room not at all", async () => {
  const head = other("G", 0, { kind: "gully-head", state: "attention" });
  const [gates, bed] = [[other("G1", 50), other("G2", 270)], other("B", 0, { name: "Bed", kind: "thalweg", geometry: along(80, 240) })];
  const drawnOf = async (works: number) => {
    let images = 0;
    const all = land([...Array.from({ length: works }, (_, i) => item(`D${i}`, 0, { name: "" })), far], [head, ...gates, bed]);
    await onMap(all, async ({ page: { canvas } }) => {
      images = canvas.calls.get("drawImage")!;
      for (const name of ["G1", "G2", "Bed"]) assert.ok(canvas.words.includes(name), `${name}: ${canvas.words.join()}`);
    });
    return images;
  };
  assert.ok((await drawnOf(3000)) < (await drawnOf(1)));
});

test("a map that is only moved tells no other scale", () =>
  onMap(land([item("D1", 0), far]), async ({ page, told }) => {
    const before = told();
    for (const px of [5, 45, -45]) await pan(page, 0, px);
    assert.equal(told(), before);
  }));
