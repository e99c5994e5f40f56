// Marking what is there, filling in its form, and editing it later.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { property } from "../../storage/phone.test.ts";
import { boot } from "../shell/boot.tsx";

test("a kind that is chosen is saved where the officer stands, and its form adds to it", () =>
  onPage(boot, { address: "#/mark" }, async (page) => {
    await page.reads("Mark where you stand", "Waiting for GPS…");
    await page.stand(146.5, -20.25, 4);
    assert.ok(!page.words.includes("Waiting for GPS…"), page.words);
    await page.press("Gully head");
    await page.reads("Gully head saved", "Add what you know.");
    const [head] = await page.kept("gully-head");
    assert.deepEqual((head!.fields["geometry"] as { coordinates: number[] }).coordinates, [146.5, -20.25]);
    await page.type("Depth of head", "1.4");
    await page.press("Save");
    await page.reads("Not saved: choose how the depth of head was measured");
    assert.match(page.find("fieldset[aria-invalid=true]")[0]!.textContent, /By tape/);
    await page.press("By tape");
    assert.equal(page.find("[aria-invalid=true]").length, 0);
    await page.press("More about it");
    await page.type("Name", "North head");
    await page.press("Save");
    await page.reads("Today: ", "North head");
    const { fields } = (await page.kept("gully-head"))[0]!;
    assert.deepEqual([fields["name"], fields["headDepthM"]], ["North head", 1.4]);
  }));

test("with no position a kind is saved too, and the screen says so", () =>
  onPage(boot, { address: "#/mark/peg" }, async (page) => {
    await page.press("Mark it here");
    await page.reads("Peg saved, without a position yet");
    const [peg] = await page.kept("peg");
    assert.equal(peg!.fields["geometry"], undefined);
  }));

const dam = { kind: "check-dam", name: "D1", status: "proposed", observedOn: "2026-03-01", crestHeightM: 0.4 };

test("an edit saves what differs and nothing else", () =>
  onPage(boot, { features: { a: dam }, address: "#/thing/a/edit" }, async (page) => {
    await page.reads("Edit D1");
    await page.press("More about it");
    await page.shows(() => page.presses.length > 0 && page.words.includes("Name"), "the seldom fields");
    assert.equal(page.typed("Name"), "D1");
    await page.type("Name", "Dam one");
    await page.press("Save");
    await page.reads("edited");
    assert.ok(!page.words.includes("edited, "), page.words);
    assert.deepEqual((await page.entries("a"))[1]!.set, { name: "Dam one" });
  }));

test("an edit of nothing saves nothing", () =>
  onPage(boot, { features: { a: dam }, address: "#/thing/a/edit" }, async (page) => {
    await page.press("Save");
    await page.shows(() => page.address === "#/", "the first screen");
    assert.equal((await page.entries("a")).length, 1);
  }));

test("what was typed and not saved is offered on the first screen, the newest of it, until it is saved", () =>
  onPage(boot, { features: { a: dam }, address: "#/thing/a/edit" }, async (page) => {
    await page.press("More about it");
    await page.type("Name", "Dam o");
    await page.type("Name", "Dam one");
    await page.go("#/", "Stony Block");
    await page.reads("You were filling in a check dam. What you typed is not saved yet.");
    assert.equal(page.leads("Continue"), "#/thing/a/edit");
    await page.press("Continue");
    await page.shows(() => page.inputs.includes("Name"), "what was typed");
    assert.equal(page.typed("Name"), "Dam one");
    await page.press("Save");
    await page.reads("edited");
    await page.go("#/", "Stony Block");
    await page.shows(() => !page.words.includes("You were filling in"), "nothing unfinished");
    assert.deepEqual((await page.entries("a"))[1]!.set, { name: "Dam one" });
  }));

test("a second form drops no word of the first: each is offered until it is saved", () =>
  onPage(boot, { features: { a: dam }, address: "#/thing/a/edit" }, async (page) => {
    await page.press("More about it");
    await page.type("Name", "Dam one");
    await page.go("#/", "Stony Block");
    await page.reads("You were filling in a check dam.");
    await page.go("#/mark", "Mark where you stand");
    await page.stand(146.5, -20.25, 4);
    await page.press("Gate");
    await page.reads("Gate saved", "Add what you know.");
    await page.press("More about it");
    await page.type("Name", "North gate");
    await page.go("#/", "Stony Block");
    await page.reads("You were filling in a check dam.", "You were filling in a gate.");
    const [gate] = await page.kept("gate");
    await page.go(`#/thing/${gate!.id}/edit`, "Edit gate");
    await page.shows(() => page.inputs.includes("Name") && page.typed("Name") === "North gate", "the gate's words");
    await page.press("Save");
    await page.reads("edited");
    await page.go("#/", "Stony Block");
    await page.shows(() => !page.words.includes("You were filling in a gate."), "the gate is done");
    await page.reads("You were filling in a check dam.");
    await page.press("Continue");
    await page.shows(() => page.inputs.includes("Name") && page.typed("Name") === "Dam one", "the dam's words");
  }));

test("the form of what was just saved, gone back from and come to again, has what was typed in it", () =>
  onPage(boot, { features: { a: dam }, address: "#/thing/a/fill" }, async (page) => {
    await page.type("Crest above bed", "0.6");
    await page.go("#/", "Stony Block");
    await page.reads("You were filling in a check dam.");
    await page.go("#/thing/a/fill", "Check dam");
    await page.shows(() => page.typed("Crest above bed") === "0.6", "what was typed");
    await page.press("More about it");
    await page.type("Name", "Dam one");
    await page.go("#/thing/a/edit", "Edit D1");
    await page.shows(() => page.typed("Crest above bed") === "0.6" && page.typed("Name") === "Dam one", "both");
  }));

test("a form that an older version kept is still offered, and goes when it is saved", () =>
  onPage(
    boot,
    {
      features: { a: dam },
      address: "#/",
      before: (page) =>
        page.phone.store.keepDraft(`open-form ${property}`, { feature: "a", kind: "check-dam", values: { name: "Dam old" } }),
    },
    async (page) => {
      await page.reads("You were filling in a check dam.");
      await page.press("Continue");
      await page.shows(() => page.inputs.includes("Name") && page.typed("Name") === "Dam old", "what was typed");
      await page.press("Save");
      await page.reads("edited");
      await page.go("#/", "Stony Block");
      await page.shows(() => !page.words.includes("You were filling in"), "nothing unfinished");
    },
  ));

test("who goes back with what cannot be saved is asked first, and may leave it", () =>
  onPage(boot, { features: { a: dam }, address: "#/thing/a/edit" }, async (page) => {
    await page.press("More about it");
    await page.type(page.inputs.find((l) => /crest/i.test(l))!, "x");
    assert.ok(!page.presses.includes("Leave without saving this"));
    await page.press("Back");
    await page.shows(() => page.presses.includes("Leave without saving this"), "a way to leave");
    assert.equal(page.address, "#/thing/a/edit");
    await page.press("Leave without saving this");
    await page.shows(() => page.address !== "#/thing/a/edit", "left");
    assert.equal((await page.entries("a")).length, 1);
    await page.go("#/", "Stony Block");
    assert.ok(!page.words.includes("You were filling in"), "it is dropped");
  }));

test("a gully walked with a gap is asked on its picture at which end chainage 0 is", () =>
  onPage(
    boot,
    {
      features: {
        g: {
          kind: "thalweg",
          name: "G1",
          observedOn: "2026-03-01",
          geometry: {
            type: "MultiLineString",
            coordinates: [
              [
                [146.5, -20.25],
                [146.5, -20.249],
              ],
              [
                [146.5, -20.248],
                [146.5, -20.247],
              ],
            ],
          },
        },
      },
      address: "#/thing/g/edit",
    },
    async (page) => {
      await page.press("More about it");
      await page.press("B: north end");
      assert.ok(page.presses.includes("A: south end"));
      await page.press("Save");
      await page.reads("edited");
      assert.deepEqual((await page.entries("g"))[1]!.set, { chainageZero: "end of the line" });
    },
  ));
