// When the link tries again: after cuts, after what was not taken, and with two pages open.

import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import { entryOf, property } from "../storage/phone.test.ts";
import { onLine, type Server } from "./server.test.ts";

const photo = { set: { kind: "visit" }, photo: { bytes: new Uint8Array([1]).buffer, takenFor: "" } };

/** Lets time pass, and gives how long after its beginning each connection was tried. */
async function tries(clock: Clock, server: Server, ms: number): Promise<number[]> {
  const began = clock.nowMS,
    before = server.sockets.length;
  await clock.pass(ms);
  return server.sockets.slice(before).map((socket) => socket.madeMS - began);
}

test("waits grow while no connection comes about, and begin again after one that lasted a minute", async () => {
  for (const [upMS, code, want] of [
    [60_000, 1000, 1_000],
    [59_999, 1000, 8_000],
    [60_000, 1006, 32_000], // the server went, and took all phones' connections with it
  ] as const) {
    const clock = new Clock();
    await onLine(
      async (phone, server) => {
        assert.deepEqual(await tries(clock, server, 4_000), [0, 2_000]);
        server.down = false;
        await clock.pass(2_000);
        assert.equal(server.count("hello"), 1);
        await clock.pass(upMS);
        server.socket.ended(code);
        await phone.store.capture(property, [{ set: { kind: "peg" } }]); // which does not hurry it
        assert.deepEqual(await tries(clock, server, 40_000), [want], `${upMS} ${code}`);
      },
      (_, server) => void (server.down = true),
      { clock, chance: 1 },
    );
  }
});

test("what the server had no room for is offered again after a minute, and again after another", () => {
  const clock = new Clock();
  return onLine(
    async (phone, server, sync) => {
      const { store } = phone;
      await clock.settle();
      server.photo = () => Response.json({ reason: "the disk is full" }, { status: 503 });
      await store.capture(property, [photo]);
      await clock.pass(1_000);
      assert.match(sync.state().words, /The server has not accepted everything\. The disk is full\./);
      for (let tried = server.asked.length, turn = 0; turn < 2; turn++) {
        await clock.pass(58_000);
        assert.equal(server.asked.length, tried);
        await clock.pass(2_000);
        assert.equal(server.asked.length, ++tried);
      }
      server.photo = () => undefined;
      await clock.pass(61_000);
      assert.deepEqual([(await store.counts()).photosUnsent, sync.state().state], [0, "quiet"]);
    },
    undefined,
    { clock },
  );
});

test("what came in and could not be kept is asked for again after a minute", () => {
  const clock = new Clock();
  return onLine(
    async (phone, server, sync) => {
      await clock.settle();
      const register = server.of(property);
      register.take(entryOf("peg", { kind: "peg" }));
      const chain = register.chain.pop()!;
      register.chain.push(Buffer.alloc(32));
      server.socket.says({ type: "hint", property, n: 1 });
      await clock.pass(1_000);
      assert.match(sync.state().words, /What others recorded could not be loaded/);
      register.chain[1] = chain;
      await clock.pass(58_000);
      assert.equal((await phone.store.features(property)).length, 0);
      await clock.pass(2_000);
      assert.equal((await phone.store.features(property)).length, 1);
      assert.ok(!/could not be loaded/.test(sync.state().words), sync.state().words);
    },
    undefined,
    { clock },
  );
});

test("a page that was left does not look for the server, and does as soon as it is back", () => {
  const clock = new Clock();
  return onLine(
    async (phone, server, sync) => {
      await clock.settle();
      let told = 0;
      sync.watch(() => void told++);
      phone.window.dispatchEvent(new Event("pagehide"));
      server.socket.ended(1000);
      assert.deepEqual(await tries(clock, server, 25_000), []);
      assert.ok(told < 10, `it tried ${told} times`);
      phone.window.dispatchEvent(Object.assign(new Event("pageshow"), { persisted: true }));
      assert.equal((await tries(clock, server, 100)).length, 1);
      assert.equal(sync.state().state, "quiet");
    },
    undefined,
    { clock },
  );
});

test("a quiet line is probed each half minute, and when somebody asks; since when it is silent is told", () => {
  const clock = new Clock();
  return onLine(
    async (phone, server, sync) => {
      await clock.pass(1_000);
      assert.equal(sync.state().state, "quiet");
      const heardMS = sync.state().lastSent!.getTime();
      await clock.pass(28_000);
      assert.equal(server.count("missing"), 0);
      await phone.store.outbox.told([{ id: property, name: "Stony Creek" }], false); // something has changed here, and nothing there
      await clock.pass(500);
      assert.ok(Math.abs(sync.state().lastSent!.getTime() - heardMS) <= 1_000);
      await clock.pass(5_000);
      assert.equal(server.count("missing"), 1);
      assert.ok(sync.state().lastSent!.getTime() - heardMS > 25_000);
      sync.sendNow();
      await clock.pass(100);
      assert.deepEqual([server.count("missing"), server.count("hello")], [2, 1]);
    },
    undefined,
    { clock },
  );
});

test("a phone that is enrolled again greets the server again, as who it is now", async () => {
  for (const now of [
    { device: "phone-1", token: "t2" },
    { device: "phone-2", token: "t1" },
  ]) {
    const clock = new Clock();
    await onLine(
      async (phone, server) => {
        await clock.pass(1_000);
        await phone.store.enrol({ ...now, author: "R. Field", properties: [{ id: property, name: "Stony Block" }] });
        await clock.pass(1_000);
        assert.deepEqual(
          server.heard.filter(({ type }) => type === "hello").map(({ device, token }) => ({ device, token })),
          [{ device: "phone-1", token: "t1" }, now],
        );
      },
      undefined,
      { clock },
    );
  }
});

test("what was recorded a moment ago is never said to be sent", () => {
  const clock = new Clock();
  return onLine(
    async (phone, _, sync) => {
      await clock.pass(1_000);
      assert.equal(sync.state().state, "quiet");
      await phone.store.capture(property, [{ set: { kind: "peg" } }]);
      assert.ok(!/is sent/.test(sync.state().words), sync.state().words); // nobody has counted it yet
      await clock.pass(1_000);
      assert.match(sync.state().words, /^Everything recorded here is sent/);
    },
    undefined,
    { clock },
  );
});
