// What two people recorded differently: both values with who and when, and the one that is chosen.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import type { Disagreement } from "../../storage/store.ts";
import { boot } from "../shell/boot.tsx";

const dam = { kind: "check-dam", name: "D1", status: "built", observedOn: "2026-03-01", crestHeightM: 0.4, crestHeightBasis: "taped" };
const side = (entry: string, author: string, value: unknown, set: object = {}, before: object = {}) => ({
  entry,
  author,
  device: entry,
  seenAt: "2026-05-01T10:42:00+10:00",
  value,
  set: set as never,
  before: before as never,
});
const clash = (field: string, ...sides: readonly ReturnType<typeof side>[]) => ({ field, sides }) as unknown as Disagreement;

test("both values stand with who recorded them, and the chosen one settles it with how it was measured", () =>
  onPage(boot, { features: { a: dam } }, async (page) => {
    let all = [
      clash(
        "crestHeightM",
        side("e1", "R. Field", 0.4, { crestHeightM: 0.4, crestHeightBasis: "taped" }),
        side("e2", "O. Other", 0.6, { crestHeightM: 0.6, crestHeightBasis: "estimated" }),
      ),
      clash("crestHeightBasis", side("e1", "R. Field", "taped"), side("e2", "O. Other", "estimated")),
      clash("name", side("e1", "R. Field", "D1", { name: "D1" }), side("e2", "", null, { name: null })),
    ];
    Object.assign(page.phone.store, { clashes: async () => all });
    await page.go("#/thing/a/settle", "Settle D1");
    await page.reads(
      "Choose the value that is right. The other stays in the register.",
      "R. Field, ",
      "O. Other, ",
      "left empty",
      "Somebody, ",
      "shown now",
    );
    assert.ok(!page.words.includes("Reading both values"));
    const uses = page.presses.filter((p) => p.startsWith("Use this: "));
    assert.equal(uses.length, 4, "how it was measured goes with the measure");
    all = all.slice(2);
    await page.press(uses.find((u) => u.includes("0.60") || u.includes("0.6"))!);
    await page.reads("settled");
    const entries = await page.entries("a");
    assert.deepEqual(entries[1]!.set, { crestHeightM: 0.6, crestHeightBasis: "estimated" });
    all = [];
    await page.go("#/", "Stony Block");
    await page.go("#/thing/a/settle", "Settle D1");
    await page.reads("Nothing is left to settle.");
  }));

test("a place is drawn beside the other, and one struck out may be kept", () =>
  onPage(boot, { features: { a: dam } }, async (page) => {
    const place = (lon: number) => ({ type: "Point", coordinates: [lon, -20.25] });
    Object.assign(page.phone.store, {
      clashes: async () => [
        clash("geometry", side("e1", "R. Field", place(146.5)), side("e2", "O. Other", place(146.51))),
        clash("strike", side("e1", "R. Field", true), side("e2", "O. Other", false)),
      ],
    });
    await page.go("#/thing/a/settle", "Settle D1");
    await page.reads("Struck out or kept");
    assert.deepEqual([page.find("svg.drawn").length, page.find("svg.drawn .own").length, page.find("svg.drawn .other").length], [2, 2, 2]);
    const [a, b] = page.find("svg.drawn .own").map((e) => Number(e.getAttribute("cx")));
    assert.ok(a! < b!, "west is left");
    await page.press(page.presses.filter((p) => p.startsWith("Use this: ")).pop()!);
    await page.reads("Struck out or kept settled");
    assert.equal((await page.entries("a"))[1]!.strike, false);
  }));
