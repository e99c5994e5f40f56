import assert from "node:assert/strict";
import test from "node:test";
import type { Outbox } from "../storage/store.ts";
import type { Connection } from "./connection.ts";
import { ConnectionLost, Refusal } from "./errors.ts";
import { isInDoubt, offer } from "./resend.ts";

test("a phone asks before it sends after a fork, and where it has sent something and never fetched", async () => {
  for (const [name, due, position, own, waiting, want] of [
    ["after a fork", true, true, 0, 0, true],
    ["it fetches", false, true, 5, 0, false],
    ["nothing is recorded", false, false, 0, 0, false],
    ["nothing is sent", false, false, 3, 3, false],
    ["something is sent", false, false, 3, 2, true],
  ] as const) {
    const outbox = {
      resendDue: async () => due,
      position: async () => (position ? { epoch: "e", n: 1, hash: "h" } : undefined),
      acknowledged: async () => Array<string>(own).fill("id"),
      waiting: async () => Array<object>(waiting).fill({}),
    };
    assert.equal(await isInDoubt(outbox as unknown as Outbox, "p"), want, name);
  }
});

test("a server that does not say what it lacks has said nothing of it", async () => {
  const offered: unknown[] = [];
  const outbox = { offerAgain: async (...all: unknown[]) => void offered.push(all) };
  for (const [frame, kind, words] of [
    [{ type: "problem", problem: { reason: "no right" }, closing: false }, Refusal, /no right/],
    [{ type: "receipts", receipts: [] }, ConnectionLost, /did not answer/],
  ] as const) {
    const talk = { ask: () => ({ next: async () => frame }) };
    await assert.rejects(
      offer(talk as unknown as Connection, outbox as unknown as Outbox, "p", ["a"]),
      (e) => e instanceof kind && words.test(e.message),
    );
  }
  assert.deepEqual(offered, []);
});
