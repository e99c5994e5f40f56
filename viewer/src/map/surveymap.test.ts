// The officer's map: what it shows, what a finger on it means, and what is brought into sight.

import assert from "node:assert/strict";
import test from "node:test";
import { crossesApart } from "./grid.ts";
import { type Sketch, SketchLayer } from "./sketch.ts";
import { acrossPx, wide, ground, firstM, lonOf, thing, fix, onMap, near, close, pan, two, sketch } from "./shown.test.ts";

test("all fills the map at first; a tap means a place, or picks what lies there", () =>
  onMap(two, async (is) => {
    near(is.scale(), firstM, "scale");
    near(is.map.middle()!.metresPerPx, firstM, "scale of the middle");
    const count = () => (is.page.find(".map")[0] as HTMLElement).dataset["drawn"];
    assert.equal(count(), "2 0");
    is.map.goTo(fix(0), false);
    await is.rest();
    assert.equal(count(), "1 0", "what is in sight");
    is.map.fitAll([], false);
    await is.rest();
    assert.equal(count(), "2 0");
    for (const [x, want] of [
      [-acrossPx / 2, "picked D1"],
      [acrossPx / 2 - 20, "picked E"],
      [0, "picked null"],
    ] as const) {
      await is.page.touchMap([x, 0]);
      assert.equal(is.told.pop(), want);
      near(is.places.pop()!.lon, lonOf(wide / 2 + (x / acrossPx) * wide), "where it was tapped", 1e-7);
    }
    is.meant = true;
    await is.page.touchMap([0, 0]);
    assert.deepEqual(is.told, ["tapped"], "and nothing is picked");
    for (const word of ["D1", "E"]) assert.ok(is.page.canvas.words.includes(word), word);
    is.map.zoomBy(1);
    await is.page.clock.pass(100);
    assert.equal(count(), undefined, "while it glides");
    await is.rest();
    assert.equal(count(), "2 0");
    near(is.scale(), firstM / 2, "closer");
    is.map.zoomBy(-2);
    await is.rest();
    near(is.scale(), 2 * firstM, "farther");
    assert.equal(is.map.fitAll([]), true);
    await is.rest();
    near(is.scale(), firstM, "all");
    is.map.show([...two, thing("F", 3 * wide)], []);
    await is.rest();
    near(is.scale(), firstM, "what comes does not move the map");
  }));

test("a tap on a group of things goes closer to it, and picks none", () => {
  const heap = (n: number, units: number) => Array.from({ length: n }, (_, i) => thing(`${units} ${i}`, units, "peg"));
  return onMap([...heap(2, 0), ...heap(1999, wide)], async (is) => {
    const count = () => (is.page.find(".map")[0] as HTMLElement).dataset["drawn"];
    assert.equal(count(), "0 2");
    await is.page.touchMap([-acrossPx / 2, 0]);
    await is.rest();
    assert.deepEqual([is.told, count()], [[], "2 0"]);
    near(is.scale(), firstM / 4, "closer");
    close(is.off(), [0, 0], "in the middle");
  });
});

test("with nothing to show no place is meant", () =>
  onMap([], async ({ map, page, told, places, rest, scale }) => {
    assert.equal(map.middle(), null);
    await page.touchMap([0, 0]);
    assert.deepEqual([told, places, map.fitAll([])], [[], [], false]);
    map.here(null, undefined, true);
    map.sketch(null);
    await rest();
    assert.deepEqual([map.middle(), scale()], [null, 0]);
  }));

test("what was chosen elsewhere is brought into sight, as close as works beside it stand apart", async () => {
  for (const [beside, metres] of [
    [64, 0.4],
    [6.4, 0.1],
    [1.28, 0.05],
  ] as const)
    await onMap([...two, thing("D2", beside)], async (is) => {
      is.map.select("D1", false, []);
      await is.rest();
      near(is.scale(), firstM, "it was chosen on the map");
      is.map.select("D1", true, []);
      await is.rest();
      near(is.scale(), metres * ground, `${beside}`);
      close(is.off(), [0, 0], "in the middle");
      is.map.select(null, true, []);
      is.map.select("other", true, []);
      await is.rest();
      close(is.off(), [0, 0], "nothing to bring");
    });
  await onMap([...two, thing("P", 6.4, "peg")], async (is) => {
    is.map.select("D1", true, []);
    await is.rest();
    near(is.scale(), firstM, "no work stands close to it, and it is in sight");
    is.map.select("P", true, []);
    await is.rest();
    near(is.scale(), firstM, "a peg has nothing to be parted from");
  });
});

test("what lies within the margins is in sight, and not beside what lies over the map", () =>
  onMap([thing("P", 0, "peg"), thing("Q", wide, "peg")], async (is) => {
    const over = [{ left: 0, top: 0, right: 390, bottom: 50 }];
    for (const [x, y, boxes, stays] of [
      [195 - 29, 0, [], true],
      [195 - 27, 0, [], false],
      [-195 + 29, 0, [], true],
      [-195 + 27, 0, [], false],
      [0, 320 - 29, [], true],
      [0, 320 - 27, [], false],
      [0, -320 + 29, [], true],
      [0, -320 + 27, [], false],
      [0, -320 + 79, over, true],
      [0, -320 + 77, over, false],
    ] as const) {
      is.map.goTo(fix(0), false);
      await is.rest();
      await pan(is, x, y);
      close(is.off(), [-x, y], "moved");
      is.map.select("P", true, boxes);
      await is.rest();
      close(is.off(), stays ? [-x, y] : [0, boxes.length > 0 ? (78 - 28) / 2 : 0], `${x} ${y}`);
      is.map.select(null, false, []);
    }
  }));

test("where the officer stands is shown first where there is nothing else, and kept in sight when it is to follow", async () => {
  await onMap([], async (is) => {
    is.map.here(fix(0), undefined, false);
    await is.rest();
    near(is.scale(), 0.4 * ground, "close");
    close(is.off(), [0, 0], "there");
    is.map.here(fix(400), 90, false);
    await is.rest();
    close(is.off(), [0, 0], "it does not follow");
    for (const [x, y, follows] of [
      [174, 0, false],
      [176, 0, true],
      [-174, 0, false],
      [-176, 0, true],
      [0, 299, false],
      [0, 301, true],
      [0, -299, false],
      [0, -301, true],
    ] as const) {
      is.map.goTo(fix(0), false);
      is.map.here(fix(x * 0.4, y * 0.4), undefined, true);
      await is.rest();
      close(is.off(), follows ? [x, y] : [0, 0], `${x} ${y}`);
    }
  });
  await onMap(two, async (is) => {
    is.map.here(fix(0), undefined, false);
    await is.rest();
    near(is.scale(), firstM, "the property was shown");
    is.map.goTo(fix(10));
    await is.rest();
    near(is.scale(), 0.4 * ground, "asked for");
    close(is.off(10), [0, 0], "there");
    is.map.zoomBy(3);
    await is.rest();
    is.map.goTo(fix(20));
    await is.rest();
    near(is.scale(), 0.05 * ground, "no farther than it was");
    is.map.goTo(fix(0), false, [{ left: 0, top: 0, right: 190, bottom: 640 }]);
    close(is.off(), [-95, 0], "in the middle of what is free at the right");
    is.map.goTo(fix(0), false, [{ left: 0, top: 0, right: 390, bottom: 320 }]);
    close(is.off(), [0, 160], "or below");
  });
  await onMap(
    two,
    async (is) => {
      near(is.scale(), firstM, "no position yet");
      is.map.here(fix(0), undefined, false);
      await is.rest();
      near(is.scale(), 0.4 * ground, "it begins here");
      is.map.goTo(fix(wide), false);
      is.map.here(fix(0), undefined, false);
      await is.rest();
      close(is.off(wide), [0, 0], "once");
    },
    true,
  );
});

test("items that come after a position are shown, unless somebody moved the map", async () => {
  await onMap(null, async (is) => {
    is.map.here(fix(0), undefined, false);
    await is.rest();
    is.map.show([], []);
    is.map.show(two, []);
    await is.rest();
    near(is.scale(), firstM, "all");
    is.map.goTo(fix(0), false);
    is.map.show([...two], []);
    await is.rest();
    close(is.off(), [0, 0], "once");
  });
  await onMap(null, async (is) => {
    is.map.here(fix(0), undefined, false);
    await is.rest();
    await pan(is, 0, 40);
    is.map.show(two, []);
    await is.rest();
    close(is.off(), [0, 40], "moved");
  });
});

test("while items are on their way all that came is shown, unless somebody moved the map", async () => {
  const scaleOf = async (moved: boolean) => {
    let scale = 0;
    await onMap(null, async (is) => {
      is.map.show([thing("D1", 0), thing("D2", wide / 4)], [], true);
      await is.rest();
      if (moved) await pan(is, 0, 40);
      is.map.show(two, []);
      await is.rest();
      is.map.show([...two, thing("F", 3 * wide)], []);
      await is.rest();
      scale = is.scale();
    });
    return scale;
  };
  near(await scaleOf(false), firstM, "all that was on its way, and not what was recorded later");
  assert.ok((await scaleOf(true)) < firstM / 2, "moved");
});

test("a map that begins where the officer stands stays there when items come", () =>
  onMap(
    null,
    async (is) => {
      is.map.here(fix(0), undefined, false);
      await is.rest();
      is.map.show(two, []);
      await is.rest();
      close(is.off(), [0, 0], "there");
    },
    true,
  ));

test("a finger drags what is drawn, or the map", () =>
  onMap(two, async (is) => {
    is.grabs = true;
    await pan(is, 20, 0);
    assert.deepEqual(is.told.slice(0, 3), ["dragged", "dragged", "dropped"]);
    near(is.places[0]!.lon, lonOf(wide / 2 - (20 / acrossPx) * wide), "from", 1e-7);
    near(is.places[2]!.lon, lonOf(wide / 2 + (20 / acrossPx) * wide), "to", 1e-7);
    const below = -10; // for the names
    close(is.off(wide / 2), [0, below], "the map stays");
    is.map.keepClear([{ left: 0, top: 500, right: 390, bottom: 640 }], fix(wide / 2, -260 * (wide / acrossPx)));
    await is.rest();
    assert.ok(is.off(wide / 2)[1] < below - 1, "once the finger is up, what lies over the map is kept clear of");
    is.map.fitAll([], false);
    await is.rest();
    is.told.length = 0;
    is.grabs = false;
    await pan(is, 20, 0);
    assert.deepEqual(is.told, []);
    close(is.off(wide / 2), [-20, below], "the map moves");
  }));

test("what was tapped, or else a place, comes out from under what has come to lie over the map", () =>
  onMap(two, async (is) => {
    const card = [{ left: 0, top: 500, right: 390, bottom: 640 }];
    is.map.goTo(fix(0), false);
    await is.rest();
    is.map.keepClear(card, null);
    await is.rest();
    close(is.off(), [0, 0], "nothing is meant");
    await is.page.touchMap([10, 250]);
    is.map.keepClear(card, fix(0));
    await is.rest();
    close(is.off(), [0, -98], "70 px above the card");
    is.map.goTo(fix(0), false);
    is.map.keepClear([{ left: 190, top: 300, right: 390, bottom: 400 }], fix(0));
    await is.rest();
    close(is.off(), [33, 0], "beside what stands there");
    is.map.goTo(fix(0), false);
    is.map.keepClear(card, fix(0));
    await is.rest();
    close(is.off(), [0, 0], "in sight");
  }));

const square = [fix(0), fix(100), fix(100, 100), fix(0, 100)];

test("a sketch is shown as large as it fits where nothing else says where the property is", () =>
  onMap([], async (is) => {
    is.map.sketch(sketch({ pieces: [[fix(0), fix(476)]] }));
    await is.rest();
    near(is.scale(), (476 / (390 - 152)) * ground, "scale");
    close(is.off(238), [0, 0], "its middle");
    is.map.sketch(sketch({ pieces: [[fix(0), fix(952)]] }));
    await is.rest();
    close(is.off(238), [0, 0], "once");
    is.map.lookAt([]);
    is.map.lookAt([fix(0)]);
    await is.rest();
    near(is.scale(), 0.15 * ground, "one place, no closer");
  }));

test("one of the grid's crosses lies on what the map was last brought to, and they are as far apart as it says", () =>
  onMap(two, async (is) => {
    const pen = (is.page.find(".map canvas")[0] as HTMLCanvasElement).getContext("2d")!;
    let crosses: [number, number][] = [];
    pen.beginPath = () => void (crosses = []);
    pen.moveTo = (x, y) => void crosses.push([x, y]);
    const across = () => crosses.filter((_, i) => i % 2 === 0); // each begins at its left, 5 px from its middle
    const isOn = ([x, y]: readonly [number, number]) => across().some(([cx, cy]) => Math.hypot(cx + 5 - x, cy - y) < 0.01);
    is.map.goTo(fix(0), false);
    await is.rest();
    assert.ok(isOn([195, 320]), "on the place it went to");
    const [first, next] = across() as [[number, number], [number, number]];
    near(next[1] - first[1], crossesApart(is.scale()) / is.scale(), "apart");
    await pan(is, 33, 44);
    assert.ok(isOn([228, 364]), "with the ground");
    is.map.fitAll([], false);
    await is.rest();
    const [x, y] = is.off(wide / 2);
    assert.ok(isOn([195 - x, 320 + y]), "in the middle of everything");
  }));

test("where the officer stands and what she draws is on the map", () =>
  onMap([], async (is) => {
    const drawnYet = (call: string) => is.page.canvas.calls.get(call) ?? 0;
    const [rings, fills] = [drawnYet("arc"), drawnYet("fill")];
    is.map.here(fix(0), undefined, false);
    await is.rest();
    assert.ok(drawnYet("arc") > rings, "a ring round her");
    is.map.here(null, undefined, false);
    await is.rest();
    const without = drawnYet("fill");
    assert.ok(without > fills, "its dot is filled");
    is.map.sketch(sketch({ area: true, closed: true, pieces: [square] }));
    await is.rest();
    assert.ok(drawnYet("fill") > without, "an area");
  }));

test("a sketch is drawn by its pieces, with what closes it and what is wrong with it", () => {
  const layer = new SketchLayer();
  const shown = (more: Partial<Sketch>) => {
    layer.show(sketch(more));
    return layer.layer
      .getSource()!
      .getFeatures()
      .map((f) => {
        assert.ok(f.getStyle(), "not as the library would draw it");
        const g = f.getGeometry()! as unknown as { getType(): string; getCoordinates(): unknown[] };
        return g.getType() === "Point"
          ? "Point"
          : `${g.getType()} ${(g.getCoordinates() as unknown[]).flat(g.getType() === "Polygon" ? 1 : 0).length}`;
      });
  };
  const boundary = { area: true, pieces: [square] };
  const cases: readonly [string, Partial<Sketch>, string[]][] = [
    ["nothing", { pieces: [[]] }, ["MultiPoint 0"]],
    ["one place", { pieces: [[fix(0)]] }, ["MultiPoint 1"]],
    ["a line", { pieces: [square] }, ["LineString 4", "MultiPoint 4"]],
    ["an empty piece", { pieces: [[], square] }, ["LineString 4", "MultiPoint 4"]],
    ["two pieces", { pieces: [square, square.slice(0, 2)] }, ["LineString 4", "LineString 2", "LineString 2", "MultiPoint 6"]],
    ["a boundary that is open", boundary, ["LineString 2", "LineString 4", "MultiPoint 4"]],
    ["a boundary", { ...boundary, closed: true }, ["Polygon 5", "LineString 4", "MultiPoint 4"]],
    ["a boundary of three", { area: true, closed: true, pieces: [square.slice(0, 3)] }, ["Polygon 4", "LineString 3", "MultiPoint 3"]],
    ["a boundary of two", { area: true, closed: true, pieces: [square.slice(0, 2)] }, ["LineString 2", "MultiPoint 2"]],
    ["a line that is chosen of", { pieces: [square], chosen: fix(0), fault: fix(1) }, ["LineString 4", "MultiPoint 4", "Point", "Point"]],
    ["as many dots as are drawn", { pieces: [Array.from({ length: 250 }, (_, i) => fix(i))] }, ["LineString 250", "MultiPoint 250"]],
    ["more", { pieces: [Array.from({ length: 251 }, (_, i) => fix(i))] }, ["LineString 251", "MultiPoint 2"]],
  ];
  for (const [name, is, want] of cases) assert.deepEqual(shown(is), want, name);
});
