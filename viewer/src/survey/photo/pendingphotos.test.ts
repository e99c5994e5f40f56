import assert from "node:assert/strict";
import test from "node:test";
import { expected, kept, reduceShots, type PendingAction, type Shot } from "./pendingphotos.ts";

const shot = (id: string, of: string): Shot => ({
  id,
  property: "p",
  of,
  named: of,
  purpose: "record",
  atMS: 1000,
  stand: {},
  stage: "expected",
});
const after = (...actions: PendingAction[]) => actions.reduce(reduceShots, [] as readonly Shot[]);

test("a second camera for the same thing takes the place of the first", () => {
  const shots = after(
    { do: "expect", shot: shot("a", "dam") },
    { do: "expect", shot: shot("b", "dam") },
    { do: "expect", shot: shot("c", "head") },
  );
  assert.deepEqual(
    expected(shots).map((s) => s.id),
    ["b", "c"],
  );
});

test("a kept photo stays when another of the same thing is begun", () => {
  const shots = after(
    { do: "expect", shot: shot("a", "dam") },
    { do: "keep", id: "a", ready: false },
    { do: "expect", shot: shot("b", "dam") },
  );
  assert.deepEqual(
    kept(shots).map((s) => s.id),
    ["a"],
  );
  assert.deepEqual(
    expected(shots).map((s) => s.id),
    ["b"],
  );
});

test("keeping a new picture ends the trouble of the old one", () => {
  const shots = after(
    { do: "expect", shot: shot("a", "dam") },
    { do: "keep", id: "a", ready: false },
    { do: "stuck", id: "a", trouble: "empty" },
    { do: "keep", id: "a", ready: true },
  );
  assert.deepEqual(shots, [{ ...shot("a", "dam"), stage: "kept", ready: true }]);
});

test("only what is done leaves the roll", () => {
  const shots = after(
    { do: "expect", shot: shot("a", "dam") },
    { do: "keep", id: "a", ready: false },
    { do: "made", id: "a", sha: "ab" },
    { do: "done", id: "b" },
  );
  assert.deepEqual(
    shots.map((s) => [s.id, s.sha]),
    [["a", "ab"]],
  );
  assert.deepEqual(reduceShots(shots, { do: "done", id: "a" }), []);
});

test("what is asked for again has the new time and place", () => {
  const again = { ...shot("a", "dam"), atMS: 2000, stand: { accuracyM: 3 } };
  assert.deepEqual(reduceShots(after({ do: "expect", shot: shot("a", "dam") }), { do: "again", shot: again }), [again]);
});

test("a picture of another time keeps nothing of the tap, and waits for an answer", () => {
  const tapped: Shot = { ...shot("a", "dam"), stand: { accuracyM: 4 }, bearingDeg: 90 };
  const told = { takenAt: "2024-03-01T10:22:33" };
  const waiting = after({ do: "expect", shot: tapped }, { do: "keep", id: "a", ready: false, told });
  assert.deepEqual(waiting, [{ ...shot("a", "dam"), stage: "asked", ready: false, from: { told } }]);
  const answered = reduceShots(reduceShots(waiting, { do: "answer", id: "a", answer: { on: "", placed: false } }), {
    do: "sized",
    id: "a",
  });
  assert.deepEqual(answered, [{ ...shot("a", "dam"), stage: "kept", ready: true, from: { told, answer: { on: "", placed: false } } }]);
});
