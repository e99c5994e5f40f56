// What is asked of the server for one link, in which order, and what is never asked twice.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { Asker, landInPage, linkAddress } from "./ask.ts";
import { listNames } from "./land.ts";

const head = { property: { name: "Stony Block" }, inspected: [], done: [], kinds: [] };
const none = { count: 0, names: [] as string[] };
const indexOf = (...names: string[]) => ({
  ...head,
  blocks: { ...Object.fromEntries(listNames.map((list) => [list, none])), works: { count: names.length, names } },
});

/** Asks a server that has these indexes, one after the other, and answers for each block by its name. */
const asking = (indexes: readonly object[], job: (asker: Asker, asked: string[]) => Promise<void>, block = (_: string) => 200) => {
  const asked: string[] = [];
  let n = 0;
  const fetch = async (address: string) => {
    const name = address.slice("/l/x/".length);
    asked.push(name.replace("blocks/", ""));
    if (name === "land.json") return Response.json(indexes[Math.min(n++, indexes.length - 1)]);
    const status = block(name.slice("blocks/".length));
    return status === 200 ? Response.json([{ id: name }]) : new Response(null, { status });
  };
  return withGlobals({ fetch }, () => job(new Asker("/l/x"), asked));
};

test("the land that came with the page is read from it, as far as it came", () => {
  const block = (textContent: string) => ({ textContent }) as HTMLElement;
  assert.deepEqual(landInPage(block(JSON.stringify(indexOf("w1")))), indexOf("w1"));
  const whole = JSON.stringify(indexOf("w1"));
  for (const none of [null, block(""), block("{}"), block(whole.slice(0, -5))]) assert.equal(landInPage(none), null);
  assert.deepEqual(["/l/x", "/l/x/", "/l/x//"].map(linkAddress), ["/l/x", "/l/x", "/l/x"]);
});

test("of many blocks it is told what has come, each time that is twice as much", () => {
  const names = Array.from({ length: 20 }, (_, i) => `w${i + 1}`);
  return asking([indexOf(...names)], async (asker, asked) => {
    const told: number[] = [];
    const land = await asker.ask(null, (part) => told.push(part.works.length));
    assert.deepEqual([told, typeof land === "string" ? land : land.works.length], [[1, 12], 20]);
    assert.deepEqual(asked, ["land.json", ...names]);
  });
});

test("a block is kept as long as an index names it", () =>
  asking([indexOf("a", "b"), indexOf("b"), indexOf("a", "b")], async (asker, asked) => {
    for (const want of [["land.json", "a", "b"], ["land.json"], ["land.json", "a"]]) {
      await asker.ask(null, () => {});
      assert.deepEqual(asked.splice(0), want);
    }
  }));

test("once a block fails no more are asked for", async () => {
  const names = Array.from({ length: 40 }, (_, i) => `w${i + 1}`);
  for (const [status, trouble] of [
    [410, "ended"],
    [423, "unconfirmed"],
    [500, "broken"],
  ] as const)
    await asking(
      [indexOf(...names)],
      async (asker, asked) => {
        assert.equal(await asker.ask(null, () => {}), trouble);
        assert.ok(asked.length < 15, asked.join());
      },
      (name) => (name === "w2" ? status : 200),
    );
});

test("an address that is not known or not allowed is told as unknown", async () => {
  for (const status of [403, 404])
    await withGlobals({ fetch: async () => new Response(null, { status }) }, async () =>
      assert.equal(await new Asker("/l/x").ask(null, () => {}), "unknown"),
    );
});
