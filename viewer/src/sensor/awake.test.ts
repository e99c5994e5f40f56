// The screen is kept on as far as the phone lets us, and it is told when it does not.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { keepAwake } from "./awake.ts";

class Lock extends EventTarget {
  released = false;
  async release() {
    this.released = true;
    this.dispatchEvent(new Event("release"));
  }
}

const turn = () => new Promise((go) => setImmediate(go));

async function phone(
  request: (() => Promise<Lock>) | undefined,
  job: (told: string[], page: EventTarget & { visibilityState: string }, locks: Lock[]) => Promise<void>,
  locks: Lock[] = [],
) {
  const page = Object.assign(new EventTarget(), { visibilityState: "visible" });
  const told: string[] = [];
  const ask = async () => {
    const lock = await request!();
    locks.push(lock);
    return lock;
  };
  await withGlobals({ document: page, navigator: request ? { wakeLock: { request: ask } } : {} }, () => job(told, page, locks));
}

test("a lock that the phone drops is told, and asked for again when the page is seen again", () =>
  phone(
    async () => new Lock(),
    async (told, page, locks) => {
      const stop = keepAwake((now) => told.push(now));
      await turn();
      assert.deepEqual(told, ["awake"]);
      page.dispatchEvent(new Event("visibilitychange"));
      await turn();
      assert.equal(locks.length, 1, "it holds still");
      await locks[0]!.release();
      assert.deepEqual(told, ["awake", "may-sleep"]);
      page.visibilityState = "hidden";
      page.dispatchEvent(new Event("visibilitychange"));
      await turn();
      assert.equal(locks.length, 1, "out of sight nothing is asked");
      page.visibilityState = "visible";
      page.dispatchEvent(new Event("visibilitychange"));
      await turn();
      assert.deepEqual([locks.length, told.join()], [2, "awake,may-sleep,awake"]);
      stop();
      assert.ok(locks[1]!.released);
      page.dispatchEvent(new Event("visibilitychange"));
      await turn();
      assert.deepEqual([locks.length, told.length], [2, 3], "whoever has stopped hears nothing");
    },
  ));

test("a phone that gives no lock, or knows none, may sleep", async () => {
  for (const request of [undefined, async () => Promise.reject(new Error("the battery is low"))])
    await phone(request, async (told) => {
      const stop = keepAwake((now) => told.push(now));
      await turn();
      assert.deepEqual(told, ["may-sleep"]);
      stop();
    });
});

test("a lock that comes after the walk is given back, and nothing is told", () =>
  phone(
    () => turn().then(() => new Lock()),
    async (told, _, locks) => {
      keepAwake((now) => told.push(now))();
      await turn();
      await turn();
      assert.deepEqual([told, locks.map((l) => l.released)], [[], [true]]);
    },
  ));

test("a phone that refuses after the walk has ended tells nothing", () =>
  phone(
    () => turn().then(() => Promise.reject(new Error("no"))),
    async (told) => {
      keepAwake((now) => told.push(now))();
      await turn();
      await turn();
      assert.deepEqual(told, []);
    },
  ));
