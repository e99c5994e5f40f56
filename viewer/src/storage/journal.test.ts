import assert from "node:assert/strict";
import test from "node:test";
import { droppedLine, keptLine, replay, wholeLine, type BackupRecord } from "./journal.ts";

const record = (key: string, value: unknown = key): BackupRecord => ({ key, value });
const keys = (pieces: readonly string[]) => [...replay(pieces).keys()].sort();

test("what is kept and not dropped is there, in its newest state", () => {
  const pieces = [
    keptLine(record("a", 1)) + keptLine({ key: "b", value: null, size: 7 }),
    droppedLine(["a", "x"]) + keptLine(record("c")),
    keptLine(record("c", 2)),
  ];
  assert.deepEqual(
    [...replay(pieces).values()],
    [
      { key: "b", value: null, size: 7 },
      { key: "c", value: 2 },
    ],
  );
});

test("a piece that is whole takes the place of all before it, and of nothing in it", () => {
  assert.deepEqual(keys([keptLine(record("old")), keptLine(record("a")) + wholeLine, keptLine(record("b"))]), ["a", "b"]);
  assert.deepEqual(keys([keptLine(record("old")), wholeLine]), []);
  assert.deepEqual(keys([keptLine(record("old")), keptLine(record("a"))]), ["a", "old"]); // it was not finished
});

test("a line that cannot be read counts for nothing", () => {
  const line = keptLine(record("b"));
  for (let cut = 0; cut < line.length - 1; cut++) {
    assert.deepEqual(keys([keptLine(record("a")) + line.slice(0, cut), keptLine(record("c"))]), ["a", "c"], `cut at ${cut}`);
  }
  assert.deepEqual(keys([keptLine(record("a")) + 'null\n[]\n7\n{"keep":4}\n{"drop":"a"}\n{}\n' + keptLine(record("b"))]), ["a", "b"]);
});

test("any text in a key or a value comes back as it was", () => {
  for (const text of ["", "a/b", "zwei\nZeilen", "\u2028", "\ud83d\udc04", '"}', "\\n"]) {
    assert.deepEqual([...replay([keptLine(record(`k${text}`, { text }))]).values()], [record(`k${text}`, { text })]);
  }
});

// Dropping and keeping at random, in random pieces, gives what a map gives.
test("a long journal gives what was done", () => {
  let seed = 1;
  const random = (below: number) => (seed = (seed * 48271) % 2147483647) % below;
  for (let round = 0; round < 200; round++) {
    const want = new Map<string, BackupRecord>(),
      pieces = [""];
    for (let i = 0; i < 60; i++) {
      const one = record(`k${random(8)}`, i);
      let line = keptLine(one);
      if (random(3) === 0) {
        want.delete(one.key);
        line = droppedLine([one.key]);
      } else want.set(one.key, one);
      if (random(12) === 0) pieces.push([...want.values()].map(keptLine).join("") + wholeLine);
      else if (random(2) === 0) pieces.push(line);
      else pieces[pieces.length - 1] += line;
    }
    assert.deepEqual(new Map([...replay(pieces)].sort()), new Map([...want].sort()));
  }
});
