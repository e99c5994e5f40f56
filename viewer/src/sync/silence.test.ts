// A dead link tells a page nothing: when it is probed, and when it is given up.

import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import { Connection, type Socket } from "./connection.ts";
import { ConnectionLost } from "./errors.ts";

interface Line {
  readonly clock: Clock;
  readonly talk: Connection;
  readonly socket: { bufferedAmount: number };
  /** How often a sign of life was asked for. */
  readonly probes: () => number;
  readonly says: (frame: object) => void;
}

const welcome = { type: "welcome", version: 2, device: "d", clockMS: 0, properties: ["p"], limits: { entries: 9, bytes: 99 } };
const lacks = { type: "lacks", property: "p", ids: [] };

function onClock(
  { busy = false, hidden = false, greets = true },
  job: (line: Line, opening: Promise<Connection>) => Promise<void>,
): Promise<void> {
  const clock = new Clock();
  const document = { visibilityState: hidden ? "hidden" : "visible" };
  return withGlobals({ ...clock.globals, document, WebSocket: { OPEN: 1 } }, async () => {
    const sent: string[] = [];
    const socket = { send: (text: string) => sent.push(text), close: () => {}, bufferedAmount: 0, readyState: 1 };
    const talks = socket as unknown as Socket;
    const opening = Connection.open({ address: "wss://here.invalid/sync", token: "t", device: "d", socket: () => talks, busy: () => busy });
    opening.catch(() => undefined);
    const says = (frame: object) => talks.onmessage!.call(socket as never, { data: JSON.stringify(frame) } as MessageEvent);
    if (greets) says(welcome);
    const talk = greets ? await opening : (undefined as never);
    const probes = () => sent.filter((text) => text.includes('"missing"')).length;
    await job({ clock, talk, socket, probes, says }, opening);
    if (greets) talk.hangUp();
    await clock.end();
  });
}
const gone = (talk: Connection) => talk.ended?.message ?? null;

test("a server that does not greet is waited for ten seconds", () =>
  onClock({ greets: false }, async ({ clock }, opening) => {
    const ended: unknown[] = [];
    opening.catch((e) => ended.push(e));
    await clock.pass(9_999);
    assert.equal(ended.length, 0);
    await clock.pass(1);
    assert.ok(ended[0] instanceof ConnectionLost && /did not answer/.test(ended[0].message));
  }));

test("how far the phone's clock is off is reckoned to the middle of the greeting, and nothing ticks after the end", () =>
  onClock({ greets: false }, async ({ clock, socket, says }, opening) => {
    const began = clock.nowMS;
    (socket as unknown as Socket).onopen!.call(socket as never, {} as Event);
    await clock.pass(400);
    says({ ...welcome, clockMS: began - 5_000 });
    const talk = await opening;
    assert.equal(talk.clockOffMS, 5_200);
    assert.equal(clock.ticking, 1);
    talk.hangUp();
    assert.equal(clock.ticking, 0);
  }));

test("once greeted, nothing is given up for the greeting", () =>
  onClock({}, async ({ clock, talk, probes }) => {
    await clock.pass(30_000);
    assert.deepEqual([gone(talk), probes()], [null, 0]);
  }));

test("silence is probed, and given up when no answer comes", async () => {
  for (const [name, is, probedMS, givenUpMS] of [
    ["at rest", {}, 31_000, 42_000],
    ["while photos are sent", { busy: true }, 11_000, 42_000],
    ["while photos are sent, out of sight", { busy: true, hidden: true }, 11_000, 42_000],
  ] as const)
    await onClock(is, async ({ clock, talk, probes }) => {
      await clock.pass(probedMS - 1);
      assert.equal(probes(), 0, name);
      await clock.pass(1);
      assert.equal(probes(), 1, name);
      await clock.pass(givenUpMS - probedMS - 1);
      assert.equal(gone(talk), null, name);
      await clock.pass(1);
      assert.equal(gone(talk), "the link has gone silent", name);
      assert.equal((talk.ended as ConnectionLost).serverGone, false);
    });
  await onClock({ hidden: true }, async ({ clock, talk, probes }) => {
    await clock.pass(200_000);
    assert.deepEqual([gone(talk), probes()], [null, 0], "nobody looks");
  });
});

test("an answer, or a line that drains, is a sign of life", async () => {
  await onClock({}, async ({ clock, talk, probes, says }) => {
    await clock.pass(31_000);
    let news = 0;
    talk.onnews = () => void news++;
    says(lacks);
    await clock.pass(30_000);
    assert.deepEqual([gone(talk), probes(), news, talk.silentMS], [null, 1, 1, 30_000]);
    await clock.pass(1_000);
    assert.equal(probes(), 2);
  });
  await onClock({}, async ({ clock, talk, socket }) => {
    talk.push("p", ["{}"]);
    for (let left = 20; left > 0; left--) {
      socket.bufferedAmount = left;
      await clock.pass(1_000);
    }
    assert.equal(gone(talk), null, "it drains");
    await clock.pass(9_000);
    assert.equal(gone(talk), null);
    await clock.pass(1_000);
    assert.equal(gone(talk), null, "ten seconds after it stood still");
    await clock.pass(1_000);
    assert.equal(gone(talk), "the link has gone silent");
  });
});

test("of the time that the phone slept nothing is known, and the link is probed at once", async () => {
  for (const [sleptMS, probes] of [
    [5_000, 0],
    [5_001, 1],
  ] as const)
    await onClock({}, async (line) => {
      await line.clock.pass(1_000);
      line.clock.nowMS += sleptMS;
      await line.clock.pass(1);
      assert.equal(line.probes(), probes, `${sleptMS}`);
    });
  await onClock({}, async ({ clock, talk }) => {
    talk.push("p", ["{}"]);
    await clock.pass(1_000);
    clock.nowMS += 60_000;
    await clock.pass(5_000);
    assert.equal(gone(talk), null);
    await clock.pass(10_000);
    assert.equal(gone(talk), "the link has gone silent");
  });
});

test("a link in doubt is given up when an answer is long due, else probed once", async () => {
  await onClock({}, async ({ clock, talk, probes }) => {
    await clock.pass(10_000); // nothing was asked in that time
    talk.doubt();
    talk.doubt();
    talk.probe();
    assert.deepEqual([gone(talk), probes()], [null, 1]);
  });
  for (const [busy, waitedMS, want] of [
    [false, 4_000, null],
    [false, 4_001, "the link has gone silent"],
    [true, 4_001, null],
  ] as const)
    await onClock({ busy }, async ({ clock, talk, probes }) => {
      talk.push("p", ["{}"]);
      await clock.pass(waitedMS);
      talk.doubt();
      assert.deepEqual([gone(talk), probes()], [want, 0], `${busy} ${waitedMS}`);
    });
  await onClock({}, async ({ talk }) => {
    talk.fail(new Error("found elsewhere"));
    assert.equal(gone(talk), "found elsewhere");
  });
});
