import assert from "node:assert/strict";
import test from "node:test";
import { sidewaysPx } from "./withinsight.ts";

test("a name at an edge moves in until it is read whole", () => {
  assert.equal(sidewaysPx(180, 180, 86), 0);
  assert.equal(sidewaysPx(330, 30, 86), -13, "at the right edge");
  assert.equal(sidewaysPx(10, 350, 86), 33, "at the left edge");
  assert.equal(sidewaysPx(400, -10, 86), 0, "its place is out of sight");
  assert.equal(sidewaysPx(30, 30, 86), 0, "there is no room for it anywhere");
});
