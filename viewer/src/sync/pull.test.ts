import assert from "node:assert/strict";
import test from "node:test";
import type { Outbox, Position, Pulled } from "../storage/store.ts";
import { Answer, type Connection } from "./connection.ts";
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
});

test("a page that cannot be taken in is told", async () => {
  await assert.rejects(pulled(at(3)), /does not follow/);
});
