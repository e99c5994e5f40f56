import assert from "node:assert/strict";
import test from "node:test";
import { calledProperty } from "./chosenproperty.ts";

test("a property without a name is called by the day on which it was begun, never by its id", () => {
  // The first 48 bits are the milliseconds since 1970: the example of RFC 9562, A.6, of 22 February 2022.
  const id = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f";
  assert.equal(calledProperty({ id, name: "Stony Block" }), "Stony Block");
  assert.match(calledProperty({ id, name: "" }), /^Unnamed property, begun 2[23] February 2022$/); // where the phone is
  assert.equal(calledProperty({ id, name: id }), calledProperty({ id, name: "" }));
  assert.equal(calledProperty({ id: "9b2d3c1e-0000-4000-8000-000000000000", name: "" }), "Unnamed property");
});
