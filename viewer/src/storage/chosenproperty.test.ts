import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { storeName } from "../base/page.ts";
import { calledProperty, chosenProperty } from "./chosenproperty.ts";
import type { Property } from "./store.ts";

test("a property without a name is called by the day on which it was begun, never by its id", () => {
  // The first 48 bits are the milliseconds since 1970: the example of RFC 9562, A.6, of 22 February 2022.
  const id = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f";
  assert.equal(calledProperty({ id, name: "Stony Block" }), "Stony Block");
  assert.match(calledProperty({ id, name: "" }), /^Unnamed property, begun 2[23] February 2022$/); // where the phone is
  assert.equal(calledProperty({ id, name: id }), calledProperty({ id, name: "" }));
  assert.equal(calledProperty({ id: "9b2d3c1e-0000-4000-8000-000000000000", name: "" }), "Unnamed property");
});

test("the property that was opened last is the one worked on, else the first that can be", async () => {
  const a = { id: "a", name: "A" },
    b = { id: "b", name: "B" },
    merged = { id: "m", name: "M", into: "a" },
    barred = { id: "z", name: "Z", barred: true };
  const cases: readonly [
    name: string,
    properties: Property[],
    opened: { [id: string]: number } | undefined,
    former: string | null,
    want: string | undefined,
  ][] = [
    ["none", [], undefined, null, undefined],
    ["one opened", [a, b], { b: 5 }, null, "b"],
    ["the later", [a, b], { a: 7, b: 5 }, null, "a"],
    ["the later, named last", [a, b], { a: 5, b: 7 }, null, "b"],
    ["of two at once the first", [a, b], { a: 7, b: 7 }, null, "a"],
    ["none opened", [a, b], undefined, null, "a"],
    ["none opened since an older page", [a, b], {}, "b", "b"],
    ["one opened since an older page", [a, b], { a: 1 }, "b", "a"],
    ["an older page's that is gone", [a, b], {}, "c", "a"],
    ["merged and barred ones first", [merged, barred, b], {}, null, "b"],
    ["merged and barred ones alone", [merged, barred], {}, null, "m"],
  ];
  const chosen = (properties: Property[], opened?: { [id: string]: number }) =>
    chosenProperty({ device: "d", token: "t", author: "R. Field", properties, ...(opened && { opened }) })?.id;
  for (const [name, properties, opened, former, want] of cases)
    await withGlobals({ localStorage: { getItem: (key: string) => (key === `${storeName}.property` ? former : null) } }, () =>
      assert.equal(chosen(properties, opened), want, name),
    );
  const refuses = () => {
    throw new DOMException("no", "SecurityError");
  };
  await withGlobals({ localStorage: { getItem: refuses } }, () => assert.equal(chosen([a, b]), "a"));
});
