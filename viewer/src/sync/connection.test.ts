import assert from "node:assert/strict";
import test from "node:test";
import { Connection, type Socket } from "./connection.ts";
import { ConnectionLost, Refusal } from "./errors.ts";

(globalThis as { WebSocket?: unknown }).WebSocket ??= { OPEN: 1 }; // node 20 has none

const lines: { onclose: ((event: CloseEvent) => void) | null }[] = [];

const welcome = { type: "welcome", version: 2, device: "d", clockMS: Date.now(), properties: ["p"], limits: { entries: 9, bytes: 99 } };

/** A connection on a line whose other end is this test. */
async function line(first: object = welcome) {
  const sent: { type: string }[] = [];
  let closed = 0;
  const socket = {
    send: (text: string) => void sent.push(JSON.parse(text.split("\n")[0]!) as { type: string }),
    close: () => void closed++,
    bufferedAmount: 0,
    readyState: 1,
  } as unknown as Socket;
  lines.push(socket as never);
  const opening = Connection.open({ address: "wss://here.invalid/sync", token: "t", device: "d", socket: () => socket });
  const says = (frame: object | string) =>
    socket.onmessage!.call(socket as WebSocket, { data: typeof frame === "string" ? frame : JSON.stringify(frame) } as MessageEvent);
  socket.onopen!.call(socket as WebSocket, {} as Event);
  says(first);
  const talk = await opening;
  let news = 0;
  talk.onnews = () => void news++;
  return { talk, sent, says, socket, closed: () => closed, news: () => news };
}

const receipts = (push: number) => ({ type: "receipts", push, property: "p", receipts: [] });
const page = (more: boolean) => JSON.stringify({ type: "page", property: "p", at: { epoch: "", n: 1, hash: "" }, more });

test("who is welcomed is told so, and answers come in the order of asking", async () => {
  const { talk, sent, says } = await line();
  assert.deepEqual(talk.welcome.limits, { entries: 9, bytes: 99 });
  assert.ok(Math.abs(talk.clockOffMS) < 60_000);
  const one = talk.push("p", ["{}"]),
    pull = talk.ask({ type: "pull", property: "p", entries: 5 }),
    two = talk.push("p", ["{}"]);
  assert.deepEqual(
    sent.map((f) => [f.type, (f as { push?: number }).push]),
    [
      ["hello", undefined],
      ["push", 1],
      ["pull", undefined],
      ["push", 2],
    ],
  );
  const waiting = one.next();
  says(receipts(1));
  says(page(true));
  says(page(false));
  says(receipts(2));
  assert.equal(((await waiting) as { push: number }).push, 1);
  assert.equal(((await pull.next()) as { more: boolean }).more, true);
  assert.equal(((await pull.next()) as { more: boolean }).more, false);
  assert.equal(((await two.next()) as { push: number }).push, 2);
  assert.equal(talk.ended, null);
  talk.hangUp();
});

test("what nobody asked for is noted, or ends the connection", async () => {
  const { talk, says, news } = await line();
  says({ type: "hint", property: "p", n: 7 });
  says({ type: "hint", property: "p", n: 5 });
  says({ type: "wanted", photos: ["aa"] });
  says({ type: "wanted", photos: ["bb"] });
  says({ type: "later", withinMS: 5 });
  says({ type: "of-a-newer-version" });
  assert.deepEqual([talk.hinted.get("p"), talk.wanted, news()], [7, ["aa", "bb"], 4]);
  assert.equal((talk.later as { withinMS: number } | null)?.withinMS, 5);
  assert.equal(talk.ended, null);
  says(receipts(1));
  assert.match(String((talk.ended as Error | null)?.message), /what was not asked/);
});

test("a problem answers what was asked, and closes what it says it closes", async () => {
  const problem = (closing: boolean) => ({ type: "problem", problem: { path: "token", reason: "is revoked" }, closing });
  const asked = await line();
  const answer = asked.talk.push("p", []);
  asked.says(problem(false));
  assert.equal((await answer.next()).type, "problem");
  assert.equal(asked.talk.ended, null);
  asked.says(problem(false)); // nothing is asked
  assert.ok((asked.talk.ended as Error | null) instanceof Refusal);

  const closing = await line();
  const open = closing.talk.push("p", []);
  closing.says(problem(true));
  await assert.rejects(open.next(), Refusal);
  assert.equal((closing.talk.ended as Refusal | null)?.forGood, true);

  const garbled = await line();
  const unanswered = garbled.talk.push("p", []);
  garbled.says("no frame");
  await assert.rejects(unanswered.next(), /cannot be understood/);
});

test("how a connection was closed is told, and whether it was the server that went", async () => {
  for (const [code, reason, message, serverGone] of [
    [1001, "going away", "going away", true],
    [1006, "", "the connection was closed (1006)", true],
    [1012, "", "the connection was closed (1012)", true],
    [1000, "", "the connection was closed (1000)", false],
    [1011, "it broke", "it broke", false],
  ] as const) {
    const { talk, socket } = await line();
    socket.onclose!.call(socket as WebSocket, { code, reason } as CloseEvent);
    const { message: told, serverGone: gone } = talk.ended as ConnectionLost;
    assert.deepEqual([told, gone], [message, serverGone]);
  }
  const never = line({ type: "of-a-newer-version" });
  lines[lines.length - 1]!.onclose!({ code: 1006, reason: "" } as CloseEvent);
  await assert.rejects(never, (e) => e instanceof ConnectionLost && !e.serverGone); // it did not come about
});

test("an ended connection answers nothing, says so once, and sends no more", async () => {
  const { talk, sent, socket, closed, news } = await line();
  const before = talk.push("p", []);
  socket.onclose!.call(socket as WebSocket, { code: 1006, reason: "" } as CloseEvent);
  await assert.rejects(before.next(), ConnectionLost);
  const why = talk.ended,
    told = news();
  talk.hangUp();
  assert.equal(talk.ended, why);
  assert.deepEqual([news(), told], [1, 1]);
  await assert.rejects(talk.push("p", []).next(), ConnectionLost);
  assert.equal(sent.length, 2, "hello and one push");
  assert.ok(closed() >= 1);
  await assert.rejects(line({ type: "problem", problem: { path: "token", reason: "is revoked" }, closing: true }), Refusal);
});
