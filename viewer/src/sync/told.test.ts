// What went wrong, in words, and what the link remembers.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { StorageError } from "../storage/store.ts";
import { ConnectionLost, problemOf, Refusal, refusal } from "./errors.ts";
import { recall, remember } from "./memory.ts";

test("whatever went wrong is told as a problem", () => {
  const problem = { path: "token", reason: "is revoked", fix: "ask the office" };
  const cases: readonly [unknown, object | null][] = [
    [null, null],
    [undefined, null],
    [new Refusal(problem, true), problem],
    [new StorageError("full", "No room.", "Make some."), { reason: "No room.", fix: "Make some." }],
    [new ConnectionLost("it fell silent", false), { reason: "it fell silent" }],
    [problem, problem],
    [{ reason: 5 }, { reason: "[object Object]" }],
    [{ why: "x" }, { reason: "[object Object]" }],
    ["said", { reason: "said" }],
    [0, { reason: "0" }],
  ];
  for (const [what, want] of cases) assert.deepEqual(problemOf(what), want, String(what));
});

test("a phone has no rights any more only where the server closes for its token or its device", () => {
  for (const [path, closing, want] of [
    ["token", true, true],
    ["device", true, true],
    ["token", false, false],
    ["entries", true, false],
  ] as const)
    assert.equal(new Refusal({ path, reason: "r" }, closing).forGood, want, `${path} ${closing}`);
  assert.equal(new Refusal({ path: "token", reason: "is revoked" }, true).message, "token: is revoked");
  assert.equal(new Refusal({ reason: "is revoked" }, true).message, "is revoked");
  const unsaid = refusal({ type: "problem", problem: {}, closing: true } as never);
  assert.deepEqual([unsaid.problem.reason, unsaid.closing], ["the server did not say why", true]);
});

test("the link remembers when it last sent, and makes nothing of what is broken or refused", async () => {
  const nothing = { lastSentMS: null, clockOffS: 0 };
  const kept = new Map<string, string>();
  await withGlobals(
    { localStorage: { getItem: (k: string) => kept.get(k) ?? null, setItem: (k: string, v: string) => kept.set(k, v) } },
    () => {
      assert.deepEqual(recall(), nothing);
      remember({ lastSentMS: 5000, clockOffS: -3 });
      assert.deepEqual(recall(), { lastSentMS: 5000, clockOffS: -3 });
      const [key] = kept.keys();
      for (const broken of ["{", "null", `{"lastSentMS":"5","clockOffS":"x"}`, `{"lastSentMS":1e999,"clockOffS":1e999}`]) {
        kept.set(key!, broken);
        assert.deepEqual(recall(), nothing, broken);
      }
    },
  );
  const refuses = () => {
    throw new DOMException("no", "SecurityError");
  };
  await withGlobals({ localStorage: { getItem: refuses, setItem: refuses } }, () => {
    remember({ lastSentMS: 1, clockOffS: 0 });
    assert.deepEqual(recall(), nothing);
  });
});
