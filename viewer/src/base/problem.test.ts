import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import test from "node:test";
import { plain, plainProblem, type Problem } from "./problem.ts";

/** A name as JSON has it, or a command's option, in a sentence. "pH" is none. */
const fieldName = / --[a-z]|\b(?!pH\b)[a-z]+[A-Z]\w*|\w\[\d|\b[a-z]+_[a-z]/;

/** What every computation refuses in its golden cases, of the folder that Go's tests write. */
function refusals(): { of: string; problem: Problem }[] {
  const folder = "testdata/compute";
  return readdirSync(folder)
    .filter((name) => name.endsWith(".json"))
    .flatMap((name) =>
      (JSON.parse(readFileSync(`${folder}/${name}`, "utf8")) as { name: string; refusal?: Problem }[]).flatMap((g) =>
        g.refusal ? [{ of: `${name} ${g.name}`, problem: g.refusal }] : [],
      ),
    );
}

test("no refusal of a computation shows the name of a field", () => {
  const all = refusals();
  assert.ok(all.length > 100, `${all.length} refusals`);
  assert.ok(
    all.some(({ problem: p }) => fieldName.test(`${p.reason} ${p.fix}`)),
    "none names a field: the check cannot fail",
  );
  for (const { of, problem } of all) {
    const said = plainProblem(problem);
    const words = `${said.reason} ${said.fix ?? ""}`;
    assert.ok(!fieldName.test(words), `${of}: ${words}`);
    assert.equal(said.path, problem.path, of);
  }
});

test("no sentence of the model's source does either", () => {
  let seen = 0;
  for (const name of readdirSync("model", { recursive: true, encoding: "utf8" })) {
    if (!name.endsWith(".go") || name.endsWith("_test.go")) continue;
    for (const [, text = ""] of readFileSync(`model/${name}`, "utf8").matchAll(
      /(?:Fix|Reason|fault|refuse)[^"\n`]*"((?:[^"\\\n]|\\.)* (?:[^"\\\n]|\\.)*)"/g,
    )) {
      seen++;
      if (text.includes(" --")) continue; // left out whole, as the refusals show
      const words = plain(text.replace(/%d/g, "0"));
      assert.ok(!fieldName.test(words), `model/${name}: ${words}`);
    }
  }
  assert.ok(seen > 300, `${seen} sentences`);
});

test("fields are named in words, and words of the trade are left", () => {
  for (const [said, want] of [
    ["Give staffLengthM if the staff is longer", "Give the length of the staff if the staff is longer"],
    ["book chainageM beside each level of the bed", "book chainage beside each level of the bed"],
    ["give two of flowM3S, headM and crestLengthM", "give two of flow, head and crest length"],
    ["lay out a part of the bed with fromM and toM", "lay out a part of the bed with the first chainage and the last chainage"],
    ["is the date of visits[0] too", "is the date of visit 1 too"],
    ["a soil of pH 8", "a soil of pH 8"],
    ["5 m on Dam McKay", "5 m on Dam McKay"],
  ] as const)
    assert.equal(plain(said), want);
});
