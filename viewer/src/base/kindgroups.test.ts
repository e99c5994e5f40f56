import assert from "node:assert/strict";
import test from "node:test";
import { grouped, inOrder } from "./kindgroups.ts";
import { kindNamed, kinds, pointKinds } from "./kinds.ts";

test("a chooser has every kind once, by what the officer does with it", () => {
  const names = grouped(pointKinds).map((g) => [g.title, g.kinds.map((k) => k.name)]);
  assert.deepEqual(names, [
    ["Erosion", ["gully-head"]],
    ["Works", ["check-dam", "whoa-boy", "rock-faced-head", "earth-plug", "brush-fill"]],
    ["Survey and photos", ["peg", "benchmark", "photo-point", "cover-plot", "pasture-assessment"]],
    ["On the property", ["homestead", "gate", "hazard"]],
    ["Not sorted yet", ["unsorted"]],
  ]);
  assert.deepEqual(
    grouped([kindNamed("gate")]).map((g) => g.title),
    ["On the property"],
  );
  for (const some of [kinds, pointKinds])
    assert.deepEqual(
      grouped(some)
        .flatMap((g) => g.kinds.map((k) => k.name))
        .sort(),
      some.map((k) => k.name).sort(),
    );
});

test("the order is the same whatever is listed and in whatever order it came", () => {
  const whole = inOrder(kinds).map((k) => k.name);
  assert.deepEqual(
    inOrder([...kinds].reverse()).map((k) => k.name),
    whole,
  );
  const lines = inOrder(kinds.filter((k) => k.shapes.includes("line"))).map((k) => k.name);
  assert.deepEqual(
    lines,
    whole.filter((n) => lines.includes(n)),
  );
});
