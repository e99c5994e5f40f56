import assert from "node:assert/strict";
import test from "node:test";
import { draw } from "./draw.ts";

test("levels fit beside the axis, however many digits they have", () => {
  for (const [low, high] of [[0, 3], [100.19, 100.53], [1342.1, 1342.4]] as const) {
    const drawing = draw({ thalweg: "t", lengthM: 10, proven: false, notes: [], bed: [{ chainageM: 0, levelM: low }, { chainageM: 10, levelM: high }], dams: [], pairs: [] }, { widthPx: 320, fontPx: 15 });
    for (const t of drawing.yTicks) {
      const widthPx = t.text.length * 0.636 * drawing.fontPx; // a digit of DejaVu Sans, the widest of the faces in use, from its metrics
      assert.ok(drawing.plot.left - 10 >= widthPx, `${t.text} needs ${widthPx} px, there are ${drawing.plot.left - 10}`);
    }
  }
});
