// What is said loudest: from when on, in which words, and before what else.

import assert from "node:assert/strict";
import test from "node:test";
import { type Counts, StorageError } from "../../storage/store.ts";
import type { SyncState } from "../../sync/state.ts";
import { start, type State } from "../context/state.ts";
import { daysWaiting, loudest } from "./alert.ts";

const now = new Date("2026-11-25T09:00:00+10:00");
const waits = (days: number, more: Partial<Counts> = {}): Counts => ({
  ...{ entries: 5, unsent: 1, refused: 0, photosUnsent: 0, photoBytesUnsent: 0 },
  oldestUnsent: new Date(now.getTime() - days * 86_400_000),
  ...more,
});
const sync = (more: Partial<SyncState>) =>
  ({ state: "no-answer", lastSent: null, clockOffS: 0, words: "", loading: null, ...more }) as SyncState;
const storage = (kept: boolean) => ({ kept, usedBytes: 0, freeBytes: 1 });

test("whole days that something has waited", () => {
  for (const [days, want] of [
    [0, 0],
    [0.99, 0],
    [1, 1],
    [3, 3],
    [-2, 0],
  ] as const)
    assert.equal(daysWaiting(waits(days), now), want, `${days}`);
  assert.equal(daysWaiting(null, now), 0);
});

test("one thing is said, the worst, with where to do something about it", () => {
  const trouble = (kind: "gone" | "not-enrolled" | "full") => ({ trouble: new StorageError(kind as "gone", "It is so.", "Do this.") });
  const cases: readonly [string, Partial<State>, string | undefined, string?][] = [
    ["gone", trouble("gone"), "It is so. Do this.", "Enrol again"],
    ["not enrolled", trouble("not-enrolled"), "It is so. Do this.", "Enrol again"],
    ["no room", trouble("full"), "It is so. Do this.", "Sync status"],
    ["cloned", { cloned: true, sync: sync({ state: "refused" }) }, "Another phone records under this phone's number.", "Enrol again"],
    ["refused", { sync: sync({ state: "refused", stopped: true }) }, "The server refuses this phone.", "What to do"],
    ["stopped", { sync: sync({ stopped: true }), counts: waits(9, { refused: 1 }) }, "Nothing can be sent now.", "Why"],
    ["an entry refused", { counts: waits(9, { refused: 1 }) }, "The server did not accept 1 entry.", "Why"],
    ["three days", { counts: waits(3), storage: storage(false) }, "Something on this phone has not been sent for 3 days.", "Send"],
    ["two days", { counts: waits(2.9) }, undefined],
    ["two days, kept", { counts: waits(2.9), storage: storage(true) }, undefined],
    ["a day, not kept", { counts: waits(1), storage: storage(false) }, "This browser may drop what is not sent.", "Send"],
    ["less than a day, not kept", { counts: waits(0.9), storage: storage(false) }, undefined],
    ["nothing", {}, undefined],
  ];
  for (const [name, more, words, doing] of cases) {
    const said = loudest({ ...start("#/"), ...more }, now);
    assert.ok(words === undefined ? said === undefined : said?.words.startsWith(words), `${name}: ${said?.words}`);
    assert.equal(said?.doing, doing, name);
    assert.equal(said?.route, doing === undefined ? undefined : doing === "Enrol again" ? "#/enrol" : "#/status", name);
  }
});
