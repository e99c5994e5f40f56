import assert from "node:assert/strict";
import test from "node:test";
import type { SyncState } from "../../sync/state.ts";
import { clockWords, copyWords, roomWords, scarceWords } from "./judge.ts";

const free = (freeBytes: number | undefined) => ({ kept: true, usedBytes: 1e6, freeBytes });

test("room is told in photos, at most, and no finer than a guess is", () => {
  // What Chromium names on every phone: 10 GiB beyond what is used.
  assert.equal(roomWords(free(10 * 2 ** 30)), "at most 17,000; the browser only guesses");
  assert.equal(roomWords(free(1000 * 600e3 - 1)), "at most 990; the browser only guesses");
  assert.equal(roomWords(free(7.9 * 600e3)), "at most 7; the browser only guesses");
  assert.equal(roomWords(free(599_999)), "none");
  assert.equal(roomWords(free(undefined)), "the browser does not say");
});

test("room for less than a day's 200 photos is told as low", () => {
  assert.equal(scarceWords(free(200 * 600e3)), "");
  assert.match(scarceWords(free(200 * 600e3 - 1)), /^Room is low: at most 190 more photos\. Photos stop first/);
  assert.match(scarceWords(free(600e3)), /at most 1 more photo\./);
  assert.match(scarceWords(free(0)), /^There is no room for another photo\./);
  assert.equal(scarceWords(free(undefined)), "");
  assert.equal(scarceWords(null), "");
});

test("a clock that is a minute off is told, by how much and which way", () => {
  for (const [clockOffS, want] of [
    [0, ""],
    [59, ""],
    [-59, ""],
    [60, "1 minutes ahead of"],
    [-90, "2 minutes behind"],
    [5399, "90 minutes ahead of"],
    [5400, "2 hours ahead of"],
    [-129_599, "36 hours behind"],
    [129_600, "2 days ahead of"],
  ] as const) {
    const said = clockWords({ clockOffS } as SyncState);
    assert.ok(want === "" ? said === "" : said.startsWith(`This phone's clock is ${want} the server's.`), `${clockOffS}: ${said}`);
  }
  assert.equal(clockWords(null), "");
});

test("the second copy is told as it is", () => {
  const waits = (unsent: number, refused: number, photosUnsent: number) => ({
    entries: 9,
    unsent,
    refused,
    photosUnsent,
    photoBytesUnsent: 0,
    oldestUnsent: null,
  });
  const has = (entries: number, photos: number) => ({ entries, photos, drafts: 3 });
  assert.equal(copyWords(null, has(1, 1)), undefined);
  assert.equal(copyWords(waits(1, 0, 0), undefined), undefined);
  assert.equal(copyWords(waits(0, 0, 0), null), "not needed: everything is sent");
  assert.equal(copyWords(waits(2, 1, 1), null), "no: this browser cannot keep one");
  assert.equal(copyWords(waits(2, 1, 1), has(3, 1)), "yes, of all not sent yet");
  assert.equal(copyWords(waits(2, 1, 0), has(2, 0)), "2 of 3 entries");
  assert.equal(copyWords(waits(1, 0, 3), has(1, 1)), "1 of 1 entry, 1 of 3 photos"); // room ran short
});
