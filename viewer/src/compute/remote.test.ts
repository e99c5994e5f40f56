// The page's end of the worker: which files it asks for, and what is said when the worker ends.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { loadInWorker } from "./remote.ts";

/** A worker that says what the test has it say, once it is there. */
class Scripted {
  static made: Scripted[] = [];
  ended = false;
  onmessage: ((event: { data: object }) => void) | null = null;
  onerror: ((event: { message: string }) => void) | null = null;
  constructor(readonly address: URL) {
    Scripted.made.push(this);
  }
  postMessage() {}
  terminate() {
    this.ended = true;
  }
}

const withWorker = (job: (worker: () => Promise<Scripted>, fetched: string[]) => Promise<void>) => {
  const fetched: string[] = [];
  Scripted.made = [];
  const fetch = async (url: URL) => {
    fetched.push(url.href.split("/").pop()!);
    return new Response(JSON.stringify({ worker: "worker.js" }));
  };
  const worker = async () => {
    while (Scripted.made.length === 0) await new Promise((go) => setImmediate(go));
    await new Promise((go) => setImmediate(go));
    return Scripted.made[0]!;
  };
  return withGlobals({ Worker: Scripted, fetch }, () => job(worker, fetched));
};

test("files are asked for where they are, or of the phone alone", async () => {
  for (const [kept, end] of [
    [false, ""],
    [true, "?kept"],
  ] as const)
    await withWorker(async (worker, fetched) => {
      const loading = loadInWorker(kept);
      const made = await worker();
      made.onmessage!({ data: { ready: true } });
      await loading;
      assert.deepEqual([fetched, made.address.href.split("/").pop()], [[`compute.json${end}`], `worker.js${end}`]);
    });
});

test("a worker that does not start is ended, and it is said why", async () => {
  for (const [message, why] of [
    ["no WebAssembly", "no WebAssembly"],
    ["", "the worker did not start"],
  ] as const)
    await withWorker(async (worker) => {
      const loading = loadInWorker();
      const made = await worker();
      made.onerror!({ message });
      await assert.rejects(loading, { message: why });
      assert.ok(made.ended);
    });
});

test("what is asked of a worker that has ended or ends is refused, and it is said why", async () => {
  for (const [end, why] of [
    [(made: Scripted) => made.onerror!({ message: "out of memory" }), "out of memory"],
    [(made: Scripted) => made.onerror!({ message: "" }), "the worker has ended"],
    [(_: Scripted, stop: () => void) => stop(), "the worker was stopped"],
  ] as const)
    await withWorker(async (worker) => {
      const loading = loadInWorker();
      const made = await worker();
      made.onmessage!({ data: { ready: true } });
      const remote = await loading;
      const before = remote.list();
      end(made, remote.stop);
      await assert.rejects(before, { message: why });
      assert.ok(made.ended);
      await assert.rejects(remote.list(), { message: why }, "and later");
    });
});
