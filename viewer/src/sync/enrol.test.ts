// What the server answers to a code, and what is made of it.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { askToEnrol } from "./enrol.ts";

const asking = { code: "AAAAA-BBBBB", device: "d1", token: "t1" };
const granted = { token: "t1", device: "d1", author: "R. Field", properties: [{ id: "creek", name: "Creek" }] };

const enrolled = (answer: () => Response) =>
  withGlobals({ fetch: async () => answer() }, () => askToEnrol(asking, "Typed Name").catch((problem: unknown) => problem));

test("who the phone is now is what the server granted to what was asked", async () => {
  assert.deepEqual(await enrolled(() => Response.json(granted)), granted);
  for (const author of ["", undefined, 5])
    assert.deepEqual(await enrolled(() => Response.json({ ...granted, author })), { ...granted, author: "Typed Name" });
});

test("what is no grant of what was asked is told", async () => {
  const unread = "The server's answer cannot be read.";
  for (const [name, answer, reason, fix, path] of [
    ["another token", () => Response.json({ ...granted, token: "t2" }), unread, /right|register/, undefined],
    ["another device", () => Response.json({ ...granted, device: "d2" }), unread, /register/, undefined],
    ["no property", () => Response.json({ ...granted, properties: [] }), unread, /register/, undefined],
    ["a list that is none", () => Response.json({ ...granted, properties: "creek" }), unread, /register/, undefined],
    ["another page", () => new Response("<p>"), unread, /register/, undefined],
    [
      "refused",
      () => Response.json({ path: "code", reason: "the code was used", fix: "ask the office" }, { status: 403 }),
      "The code was used.",
      /^Ask the office\.$/,
      "code",
    ],
    ["refused without a word", () => new Response("", { status: 502 }), "The server answered 502.", /^Try again in a minute\.$/, undefined],
    [
      "no signal",
      () => {
        throw new TypeError("no signal");
      },
      "The server does not answer.",
      /^Enrol where there is signal\./,
      undefined,
    ],
  ] as const) {
    const problem = (await enrolled(answer)) as { reason: string; fix: string; path?: string };
    assert.deepEqual([problem.reason, problem.path, fix.test(problem.fix)], [reason, path, true], name);
    assert.equal("path" in problem, path !== undefined, name);
  }
});
