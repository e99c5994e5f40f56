// The strip at the foot of every screen: numbers of what is here and what waits, and what was done last.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { boot } from "./boot.tsx";

const peg = { kind: "peg", name: "P1", observedOn: "2026-03-01" };

test("entries and photos that wait are counted, and how good the position is", () =>
  onPage(boot, { quotaBytes: 2 ** 40, features: { a: peg } }, async (page) => {
    await page.reads("Sync status: 1 entry on phone, 1 not sent yet, … GPS");
    assert.equal(page.find(".strip .waiting").length, 1);
    for (const [i, words] of ["photo not sent yet", "photos not sent yet"].entries()) {
      await page.phone.store.capture(property, [{ set: peg, photo: { bytes: new Uint8Array([i]).buffer, takenFor: "a" } }] as never);
      await page.reads(`${i + 2} entries on phone, ${i + 2} + ${i + 1} ${words}`);
    }
    await page.stand(146.5, -20.25, 4);
    await page.reads("±4 m GPS");
  }));

test("what was done last stands for half a minute, and its room stays while the screen does", () =>
  onPage(boot, { address: "#/line/fence/line" }, async (page) => {
    const line = () => page.find("footer .said")[0] as HTMLElement;
    const room = () => line().style.minHeight;
    await page.reads("R. Field, Stony Block");
    assert.equal(room(), "");
    await page.press("Add at the cross");
    await page.reads("The map shows no place yet.");
    assert.ok(!page.words.includes("R. Field, Stony Block") && line().classList.contains("news"));
    await page.clock.pass(29_000);
    assert.ok(page.words.includes("The map shows no place yet."));
    assert.equal(room(), "");
    await page.clock.pass(2_000);
    await page.reads("R. Field, Stony Block");
    assert.ok(!page.words.includes("The map shows no place yet.") && !line().classList.contains("news"));
    assert.equal(room(), "0px", "as high as it was");
    await page.press("Add at the cross");
    await page.reads("The map shows no place yet.");
    assert.equal(room(), "");
    await page.clock.pass(31_000);
    assert.equal(room(), "0px");
    await page.go("#/mark", "Mark where you stand");
    assert.equal(room(), "");
    await page.go("#/line/fence/line", "Fence");
    assert.equal(room(), "0px");
    assert.ok(!page.presses.includes("Undo") || page.isDisabled("Undo"), "nothing to undo of that");
  }));
