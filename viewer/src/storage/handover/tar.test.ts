// The archive is read back by GNU tar, another's reader.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import test from "node:test";
import { fileName } from "./file.ts";
import { archive } from "./tar.ts";

test("GNU tar lists and opens what was archived", async () => {
  const bodies = { "about.json": "{}", "entries.ndjson": "", "photos/x.jpg": "y".repeat(512), "photos/z.jpg": "z".repeat(700) };
  const members = Object.entries(bodies).map(([name, body]) => ({ name, body: new Blob([body]) }));
  const input = await new Blob(archive(members, new Date(1_772_000_000_000))).text();
  const tar = (...args: string[]) => execFileSync("tar", args, { input, encoding: "utf8" });
  const listed = tar("--utc", "--full-time", "-tvf", "-").trim().split("\n");
  assert.equal(listed.length, 4);
  assert.match(listed[0]!, /^-rw-r--r-- 0\/0 +2 2026-02-25 06:13:20 about\.json$/);
  for (const [name, body] of Object.entries(bodies)) assert.equal(tar("-xOf", "-", name), body, name);
});

test("a header says that it is one of POSIX, as readers of other makers look for", async () => {
  const header = new Uint8Array(await new Blob(archive([{ name: "a", body: new Blob([]) }], new Date(0))).arrayBuffer());
  assert.equal(new TextDecoder().decode(header.slice(257, 265)), "ustar\x0000");
});

test("a file is named after the officer and the phone's clock", () => {
  const at = new Date(2026, 2, 1, 6, 5);
  assert.equal(fileName("R. Field", at), "headcut-r-field-2026-03-01-0605.tar");
  assert.equal(fileName("  ", at), "headcut-2026-03-01-0605.tar");
  assert.ok(fileName("Ø".repeat(80) + "a".repeat(80), at).length < 60);
});
