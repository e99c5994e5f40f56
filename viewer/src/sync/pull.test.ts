import assert from "node:assert/strict";
import test from "node:test";
import type { Outbox, Position, Pulled } from "../storage/store.ts";
import { Answer, type Connection } from "./connection.ts";
import { ConnectionLost } from "./errors.ts";
import { Load } from "./frames.ts";
import { pull } from "./pull.ts";

const at = (n: number): Position => ({ epoch: "e", n, hash: `hash ${n}` });

/** Pulls one page, from 3 to 5, into an outbox that will not have it; its position is then this one. */
function pulled(then: Position): Promise<unknown> {
  let position = at(3);
  const outbox: Pick<Outbox, "position" | "apply"> = {
    position: async () => position,
    apply: async () => {
      position = then;
      throw new Error("the page does not follow");
    },
  };
  const page: Pulled = { first: 4, arrivedMS: [1, 2], entries: ["{}", "{}"], at: at(5) };
  const answer = new Answer();
  answer.put({ type: "page", property: "p", more: false, last: 5, ...page });
  const talk: Pick<Connection, "ask"> = { ask: () => answer };
  return pull(talk as Connection, outbox as Outbox, "p", new Load(), () => undefined);
}

test("a page is asked for again when the connection before took it in meanwhile", async () => {
  assert.equal(await pulled(at(5)), "moved");
  assert.equal(await pulled({ ...at(3), hash: "of another register" }), "moved");
});

test("a page that cannot be taken in is told", async () => {
  await assert.rejects(pulled(at(3)), /does not follow/);
});

test("what cannot be taken in is told, also when what came before it was", async () => {
  let position = at(0);
  const outbox: Pick<Outbox, "position" | "apply"> = {
    position: async () => position,
    apply: async (_, pages) => {
      if (position.n > 0) throw new Error("no room");
      position = pages[pages.length - 1]!.at;
    },
  };
  const answer = new Answer();
  for (const frame of [page(1000, 1000, true), page(1500, 500, false)]) answer.put(frame as never);
  const talk: Pick<Connection, "ask"> = { ask: () => answer };
  await assert.rejects(
    pull(talk as Connection, outbox as Outbox, "p", new Load(), () => undefined),
    /no room/,
  );
});

/** Pulls what these frames say, and gives what was taken in, each time. */
async function taken(from: Position | undefined, frames: readonly object[], lost = false) {
  const kept: string[] = [];
  const told: number[][] = [];
  const outbox: Pick<Outbox, "position" | "apply"> = {
    position: async () => from,
    apply: async (_, pages) => void kept.push(pages.map((p) => `${p.entries.length} to ${p.at.n}`).join()),
  };
  const answer = new Answer();
  for (const frame of frames) answer.put(frame as never);
  if (lost) answer.fail(new ConnectionLost("it fell silent", false));
  const load = new Load();
  for (let i = 0; i < 2; i++) load.broke(); // to 25
  const talk: Pick<Connection, "ask"> = { ask: () => answer };
  const end = await pull(talk as Connection, outbox as Outbox, "p", load, (n, last) => told.push([n, last])).catch((e) =>
    String(e.message),
  );
  return { kept, told, end, load: load.entries };
}
const page = (n: number, entries: number, more: boolean, epoch = "e") => ({
  ...{ type: "page", property: "p", more, last: 3000, first: 1, arrivedMS: [] },
  entries: Array<string>(entries).fill("{}"),
  at: { ...at(n), epoch },
});

test("pages are taken in a thousand entries at a time, and what is no news not at all", async () => {
  const many = await taken(at(0), [page(500, 500, true), page(1000, 500, true), page(1999, 999, true), page(2500, 501, false)]);
  assert.deepEqual(many.kept, ["500 to 500,500 to 1000", "999 to 1999,501 to 2500"]);
  assert.deepEqual(
    many.told,
    [500, 1000, 1999, 2500].map((n) => [n, 3000]),
  );
  assert.deepEqual([many.end, many.load], [null, 50], "a line that carried something is given more, once");
  for (const [name, from, empty, want] of [
    ["where it is", at(3), page(3, 0, false), []],
    ["of another epoch", at(3), page(3, 0, false, "f"), ["0 to 3"]],
    ["farther on", at(3), page(4, 0, false), ["0 to 4"]],
    ["of an empty register", undefined, page(0, 0, false), []],
    ["of one that has some", undefined, page(1, 0, false), ["0 to 1"]],
  ] as const)
    assert.deepEqual((await taken(from, [empty])).kept, want, name);
});

test("what came before a cut is kept; a line that carried nothing is given less", async () => {
  const cut = await taken(at(0), [page(500, 500, true)], true);
  assert.deepEqual([cut.kept, cut.end], [["500 to 500"], "it fell silent"]);
  assert.equal(cut.load, 50);
  const none = await taken(at(0), [], true);
  assert.deepEqual([none.kept, none.end, none.load], [[], "it fell silent", 12]);
});

test("what else a server answers to a pull is passed on, or ends it", async () => {
  const forked = { type: "forked", property: "p", marks: [] };
  assert.deepEqual((await taken(at(3), [forked])).end, forked);
  assert.equal((await taken(at(3), [{ type: "problem", problem: { reason: "no right" }, closing: false }])).end, "no right");
  assert.match(String((await taken(at(3), [{ type: "lacks", property: "p", ids: [] }])).end), /something else/);
});
