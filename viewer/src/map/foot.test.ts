// What stands under a map, and the legend of how works look.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { allStatuses } from "../base/item.ts";
import { drawn } from "../device/page.test.ts";
import { ScaleBar } from "./foot.tsx";
import { StatusSample } from "./symbol.tsx";
import { symbol } from "./symbols.ts";

test("a scale bar is as long as it says, in four parts, and says what the crosses stand for", () =>
  drawn(h(ScaleBar, { metresPerPx: 1 }), async (page) => {
    const [svg] = page.find(".scale svg");
    assert.deepEqual(
      ["width", "viewBox", "data-metres", "data-px"].map((name) => svg!.getAttribute(name)),
      ["102", "0 0 102 14", "100", "100"],
    );
    assert.deepEqual(
      page.find(".scale rect").map((part) => ["x", "width", "class"].map((name) => part.getAttribute(name)).join(" ")),
      ["1 25 solid", "26 25 open", "51 25 solid", "76 25 open"],
    );
    assert.equal(page.words, "Scale bar 100 m; grid crosses every 100 m.");
  }));

test("the legend shows a status on a place and on a line: what is pegged with pegs, what failed crossed", async () => {
  for (const status of allStatuses)
    await drawn(h(StatusSample, { status }), async (page) => {
      const onLine = page.find("path").length - symbol({ name: "", colour: "" }, status).length;
      assert.equal(onLine, status === "pegged" || status === "failed" ? 2 : 1, status);
    });
});
