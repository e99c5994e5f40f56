// A field of a form by its type: what it asks, and what an answer is kept as.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import type { Field } from "../../base/kinds.ts";
import { drawn } from "../../device/page.test.ts";
import { FieldInput } from "./fieldinput.tsx";

const field = (type: Field["type"], more: Partial<Field> = {}): Field => ({ name: "some", label: "Some", type, ...more });

test("each answer is kept as the register has it", async () => {
  const answers: string[] = [];
  const asked = (of: Field, answer = "", more: object = {}) =>
    h(FieldInput, { field: of, answer, change: (text: string) => void answers.push(text), features: [], ...more });
  const last = () => answers.splice(0);
  await drawn(asked(field("yes-no")), async (page) => {
    assert.ok(!page.isPressed("Yes") && !page.isPressed("No"), "nobody said");
    await page.press("Yes");
    await page.press("No");
    assert.deepEqual(last(), ["yes", "no"]);
    await page.draw(asked(field("yes-no"), "yes"));
    assert.ok(page.isPressed("Yes") && !page.isPressed("No"));
    await page.press("Not known: clear some");
    assert.deepEqual(last(), [""]);
    await page.draw(asked(field("yes-no"), "no"));
    assert.ok(!page.isPressed("Yes") && page.isPressed("No"));

    await page.draw(asked(field("choice", { choices: ["sandy", "clay"] })));
    assert.deepEqual(page.presses, ["Sandy", "Clay"]);
    await page.press("Clay");
    await page.draw(asked(field("choice", { choices: ["sandy", "clay"] }), "clay"));
    await page.press("Not known: clear some");
    assert.deepEqual(last(), ["clay", ""]);
    await page.draw(asked(field("choice")));
    assert.deepEqual(page.presses, []);

    for (const type of ["number", "integer"] as const) {
      await page.draw(asked(field(type, { unit: "m" }), "1"));
      assert.deepEqual([page.inputs, page.typed("Some")], [["Some"], "1"]);
      await page.type("Some", "2");
      assert.deepEqual(last(), ["2"]);
    }
    assert.deepEqual(page.presses, [], "nothing else was meant");
    await page.draw(asked(field("number", { unit: "m", max: 10 }), "35", { wrong: "35 is out of range" }));
    await page.press("35 cm: write 0.35 m");
    assert.deepEqual(last(), ["0.35"]);
    await page.draw(asked(field("date"), "2026-03-01"));
    assert.equal(page.typed("Some"), "2026-03-01");
    await page.draw(asked(field("text", { required: true }), "x"));
    assert.deepEqual([page.words, page.find("textarea").length], ["Some", 0]);
    await page.draw(asked(field("text", { name: "notes" }), "x"));
    assert.deepEqual([page.words, page.find("textarea").length], ["Some", 1]);
    await page.draw(asked(field("feature", { name: "track" })));
    assert.equal(page.words, "", "there is nothing to choose from");
  });
});

test("an answer that was carried over says from where, and how it came about is asked of an answer alone", async () => {
  const how = { field: field("choice", { name: "someBasis", label: "How", choices: ["taped"] }), answer: "", change: () => undefined };
  const asked = (answer: string, more: object) =>
    h(FieldInput, { field: field("number"), answer, change: () => undefined, features: [], ...more });
  await drawn(asked("", { how }), async (page) => {
    assert.deepEqual(page.presses, []);
    await page.draw(asked("1", { how }));
    assert.equal(page.presses.length, 2);
    await page.draw(asked("1", { carried: "as of the last dam" }));
    assert.equal(page.words, "Some (if known) As of the last dam. Saving confirms it here.");
    assert.equal(page.find("[data-carried=some]").length, 1);
    assert.deepEqual(page.presses, []);
    await page.draw(asked("1", { carried: "as of the last dam", how }));
    assert.equal(page.presses.length, 2);
  });
});
