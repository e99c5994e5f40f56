import assert from "node:assert/strict";
import test from "node:test";
import { cleared, covered, freeMiddle, keptInSight } from "./clear.ts";

const screen = [390, 600] as const;
const head = { left: 8, top: 8, right: 382, bottom: 64 };
const foot = { left: 8, top: 530, right: 280, bottom: 592 }; // the scale
const buttons = { left: 326, top: 350, right: 382, bottom: 592 };

test("what lies under nothing stays where it is", () => {
  assert.deepEqual(cleared([200, 300], screen, [head, foot, buttons]), [200, 300]);
});

test("what the scale, the buttons or the head cover comes out by the shortest way", () => {
  assert.deepEqual(cleared([100, 560], screen, [head, foot, buttons]), [100, 502], "up from the scale");
  assert.deepEqual(cleared([350, 460], screen, [head, foot, buttons]), [298, 460], "to the left of the buttons");
  assert.deepEqual(cleared([200, 40], screen, [head, foot, buttons]), [200, 92], "down from the head");
  assert.deepEqual(cleared([285, 525], screen, [head, foot, buttons]), [285, 502], "clear of one it does not come under the other");
});

test("where nothing is clear it stays", () => {
  assert.deepEqual(cleared([20, 20], [40, 40], [{ left: 0, top: 0, right: 40, bottom: 40 }]), [20, 20]);
});

test("what the window ends before comes into it", () => {
  assert.deepEqual(cleared([200, 640], screen, [head, buttons]), [200, 572]);
  assert.deepEqual(cleared([-50, 300], screen, [head, buttons]), [28, 300]);
});

test("ten pixels from an edge or a box are enough to be seen, and moved it lies 28 from them", () => {
  const box = { left: 100, top: 200, right: 300, bottom: 400 };
  for (const [at, want] of [
    [
      [10, 100],
      [10, 100],
    ],
    [
      [9.9, 100],
      [28, 100],
    ],
    [
      [380, 100],
      [380, 100],
    ],
    [
      [380.1, 100],
      [362, 100],
    ],
    [
      [50, 10],
      [50, 10],
    ],
    [
      [50, 9.9],
      [50, 28],
    ],
    [
      [50, 590],
      [50, 590],
    ],
    [
      [50, 590.1],
      [50, 572],
    ],
    [
      [90, 300],
      [90, 300],
    ],
    [
      [90.1, 300],
      [72, 300],
    ],
    [
      [310, 300],
      [310, 300],
    ],
    [
      [309.9, 300],
      [328, 300],
    ],
    [
      [200, 190],
      [200, 190],
    ],
    [
      [200, 190.1],
      [200, 172],
    ],
    [
      [200, 410],
      [200, 410],
    ],
    [
      [200, 409.9],
      [200, 428],
    ],
  ] as const)
    assert.deepEqual(cleared(at, screen, [box]), want, String(at));
  for (const [at, want] of [
    [[20, 100], true],
    [[19.9, 100], false],
    [[370, 100], true],
    [[370.1, 100], false],
    [[50, 20], true],
    [[50, 19.9], false],
    [[50, 580], true],
    [[50, 580.1], false],
    [[80, 300], true],
    [[80.1, 300], false],
    [[320, 300], true],
    [[319.9, 300], false],
    [[200, 180], true],
    [[200, 180.1], false],
    [[200, 420], true],
    [[200, 419.9], false],
  ] as const)
    assert.equal(String(keptInSight(at, screen, [box])) === String(at), want, `who walks at ${at}`);
  assert.deepEqual(
    covered([320, 560], [{ left: 0, top: 260, right: 320, bottom: 300 }]),
    [28, 28, 328, 28],
    "in the middle: from the foot",
  );
});

test("what is chosen elsewhere is brought to where nothing covers it", () => {
  const card = { left: 8, top: 345, right: 312, bottom: 552 },
    scale = { left: 8, top: 285, right: 236, bottom: 337 },
    column = { left: 256, top: 105, right: 312, bottom: 337 };
  assert.deepEqual(covered([320, 560], [{ left: 8, top: 8, right: 64, bottom: 64 }, card, scale, column]), [92, 92, 303, 28]);
  assert.deepEqual(covered([320, 560], []), [28, 28, 28, 28]);
  const deskScale = { left: 8, top: 650, right: 370, bottom: 692 },
    deskColumn = { left: 528, top: 8, right: 572, bottom: 156 };
  assert.deepEqual(
    covered([580, 700], [deskScale, deskColumn]),
    [28, 80, 78, 28],
    "a column of buttons is kept clear of, however tall the map",
  );
  const [top, , foot] = covered(
    [320, 200],
    [
      { left: 8, top: 8, right: 300, bottom: 90 },
      { left: 8, top: 100, right: 300, bottom: 192 },
    ],
  );
  assert.ok(top + foot < 200, "something is left of a small window");
});

test("who walks is kept in the free part of the map, in the middle of it once she came to its edge", () => {
  const boxes = [head, foot, buttons];
  assert.deepEqual(keptInSight([200, 300], screen, boxes), [200, 300]);
  const middle = [326 / 2, (64 + 530) / 2];
  assert.deepEqual(keptInSight([200, 80], screen, boxes), middle, "under the head, or nearly");
  assert.deepEqual(keptInSight([340, 400], screen, boxes), middle, "under the buttons");
  assert.deepEqual(keptInSight([200, 700], screen, boxes), middle, "outside");
  assert.deepEqual(keptInSight([350, 200], screen, boxes), [350, 200], "above the buttons is free");
  assert.deepEqual(keptInSight([10, 10], screen, []), [195, 300]);
});

test("the free part of a window is as wide as it may be on all sides, then the largest, then the first", () => {
  const part = (left: number, top: number, right: number, bottom: number) => ({ left, top, right, bottom });
  for (const [name, size, boxes, want] of [
    ["right of what lies at the left", screen, [part(0, 0, 200, 600)], [295, 300]],
    ["left of what lies at the right", screen, [part(190, 0, 390, 600)], [95, 300]],
    ["below the head", screen, [part(0, 0, 390, 300)], [195, 450]],
    ["above the foot", screen, [part(0, 300, 390, 600)], [195, 150]],
    ["the first of two that are alike", screen, [part(150, 0, 240, 600)], [75, 300]],
    ["what lies outside takes and gives nothing", screen, [part(-300, 0, -100, 600), part(500, 0, 600, 600)], [195, 300]],
    ["no narrow strip, however tall", screen, [part(200, 0, 330, 600), part(0, 100, 200, 600)], [100, 50]],
    ["nor a low one, however wide", [600, 390], [part(0, 200, 600, 330), part(100, 0, 600, 200)], [50, 100]],
  ] as const)
    assert.deepEqual(freeMiddle(size, boxes), want, name);
});

test("a column is what stands in the right half and is taller than wide; other boxes are of the head or the foot", () => {
  const of = (left: number, top: number, right: number, bottom: number) => covered([320, 560], [{ left, top, right, bottom }]);
  for (const [name, got, want] of [
    ["from the middle on", of(160, 100, 200, 200), [28, 28 + 160 - 29, 28, 28]],
    ["nearly in the middle", of(159, 100, 200, 200), [228, 28, 28, 28]],
    ["as wide as tall", of(220, 100, 280, 160), [188, 28, 28, 28]],
    ["wider, low down", of(220, 500, 310, 540), [28, 28, 88, 28]],
    ["a column at the left", of(0, 100, 40, 200), [228, 28, 28, 28]],
    ["a head over more than half", of(0, 0, 320, 400), [279, 28, 28, 28]],
    ["a foot over more than half", of(0, 100, 320, 560), [28, 28, 488, 28]],
  ] as const)
    assert.deepEqual(got, want, name);
});

test("on a small phone with a caution the free part is the strip that is left", () => {
  const size = [320, 422] as const,
    boxes = [
      { left: 8, top: 8, right: 312, bottom: 91 },
      { left: 8, top: 99, right: 312, bottom: 210 },
      { left: 8, top: 299, right: 184, bottom: 346 },
      { left: 192, top: 294, right: 312, bottom: 414 },
    ];
  assert.deepEqual(freeMiddle(size, boxes), [160, 252]);
  assert.deepEqual(keptInSight([160, 211], size, boxes), [160, 252], "half under the caution");
  assert.deepEqual(freeMiddle([300, 200], [{ left: 0, top: 0, right: 300, bottom: 200 }]), [150, 100], "nothing is free");
});
