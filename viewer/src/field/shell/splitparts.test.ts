import assert from "node:assert/strict";
import test from "node:test";
import { screenAt } from "./screens.ts";
import { fillRoute, partOf } from "../part/splitparts.ts";

test("the forms of a split line follow each other, then comes the last part's page", () => {
  const ids = ["a", "b", "c"];
  const seen: string[] = [];
  for (let address = fillRoute(ids); ; ) {
    const { row, params } = screenAt(address);
    if (!row.route.includes("/fill")) {
      assert.equal(address, "#/thing/c");
      break;
    }
    const part = partOf(params["id"]!, params["parts"]);
    seen.push(`${params["id"]} ${part.words}`);
    address = part.next;
  }
  assert.deepEqual(seen, ["a Part 1 of 3", "b Part 2 of 3", "c Part 3 of 3"]);
  assert.equal(fillRoute(["a"]), "#/thing/a/fill");
  assert.deepEqual(partOf("a", undefined), { words: "", next: "#/thing/a" });
});
