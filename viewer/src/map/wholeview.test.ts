import assert from "node:assert/strict";
import test from "node:test";
import { cornerReaches, nameReach, type Reach, wholeView } from "./wholeview.ts";

const size = [400, 600] as const;
const margins = [28, 92, 100, 28] as const; // buttons at the right, the scale at the foot

/** Where a place lies in the window. */
function pixelsOf({ x, y }: Reach, { center, resolution }: ReturnType<typeof wholeView>): [number, number] {
  return [size[0] / 2 + (x - center[0]) / resolution, size[1] / 2 - (y - center[1]) / resolution];
}
const near = (got: number, want: number, what: string) => assert.ok(Math.abs(got - want) < 0.1, `${what}: ${got}, want ${want}`);

test("a box fills the window between its margins", () => {
  const tall = cornerReaches([1000, 5000, 1010, 5944]);
  const view = wholeView(tall, size, margins, 0.15);
  near(view.resolution, 944 / 472, "resolution");
  near(pixelsOf(tall[0]!, view)[1], 500, "its foot");
  near(pixelsOf(tall[1]!, view)[1], 28, "its top");
  near((pixelsOf(tall[0]!, view)[0] + pixelsOf(tall[1]!, view)[0]) / 2, (28 + 400 - 92) / 2, "its middle");
});

test("names are in sight whole, below and beside their symbols", () => {
  const names = [nameReach(0, 0, "Whoa-boy at the gate", 28), nameReach(300, 40, "Dam 1", 28), nameReach(150, -90, "Dam 2", 28)];
  const view = wholeView([...cornerReaches([0, -90, 300, 40]), ...names], size, margins, 0.15);
  for (const [i, half] of [90, 22.5, 22.5].entries()) {
    const [x, y] = pixelsOf(names[i]!, view);
    assert.ok(x - half >= 5.9 && x + half <= 400 - 92 + 28 - 5.9, `name ${i} from ${x - half} to ${x + half}`);
    assert.ok(y + 48 <= 600 - 100 + 28.1, `name ${i} down to ${y + 48}`);
  }
  assert.ok(view.resolution < 1.42, "no farther than it must be");
});

test("one place is shown no closer than asked, and in a window too small for its name as well", () => {
  assert.deepEqual(wholeView(cornerReaches([5, 7, 5, 7]), size, [28, 28, 28, 28], 0.15), { center: [5, 7], resolution: 0.15 });
  const tiny = wholeView(
    [...cornerReaches([0, 0, 10, 10]), nameReach(0, 0, "A very long name here", 28)],
    [60, 60],
    [28, 28, 28, 28],
    0.15,
  );
  assert.ok(tiny.resolution < 1e6 && tiny.center.every(Number.isFinite));
});

test("a place stands in the middle of what the margins leave", () => {
  const place = cornerReaches([5, 7, 5, 7]);
  const view = wholeView(place, size, [10, 40, 70, 20], 0.5);
  assert.equal(view.resolution, 0.5);
  assert.deepEqual(pixelsOf(place[0]!, view), [20 + (400 - 60) / 2, 10 + (600 - 80) / 2]);
});

test("a name needs what the margin does not give it", () => {
  const name = "Dam 1234"; // 36 px to either side
  assert.deepEqual(nameReach(1, 2, name, 30), { x: 1, y: 2, asidePx: 12, downPx: 18 });
  assert.deepEqual(nameReach(1, 2, name, 50), { x: 1, y: 2, asidePx: 0, downPx: 0 });
});
