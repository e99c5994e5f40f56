import assert from "node:assert/strict";
import test from "node:test";
import { newBook, padFor } from "./book.ts";
import { keyedOn } from "./drafts.ts";
import { write } from "./write.ts";

test("a reading half keyed is work that was begun; what the book proposes by itself is not", () => {
  const book = newBook("b", "Run 1", "2026-11-25");
  assert.equal(keyedOn(book.pad), false);
  assert.equal(keyedOn(write(book, { do: "key", key: "1" }).pad), true);
  assert.equal(keyedOn(write(book, { do: "suggest", box: "chainage", text: "20" }).pad), false);
  assert.equal(keyedOn(write(book, { do: "note", note: "soft" }).pad), true);
  assert.equal(keyedOn(padFor([{ point: "Start", bs: 1.2, knownLevelM: 50 }])), false);
});
