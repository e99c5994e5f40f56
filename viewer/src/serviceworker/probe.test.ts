// Whether the page would work with no signal: what of it is asked of the phone, and what is said.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { probeOffline } from "./probe.ts";

const page = '<link rel="x" href="/field/a.css"><script src="/field/b.js"></script><a href="https://other.invalid/field/c">';

/** Probes a phone that has these files, and computes so. */
async function probed(has: {
  readonly page?: string | undefined;
  readonly lacks?: string;
  readonly list?: boolean;
  readonly readingM?: number;
  readonly fold?: boolean;
  readonly dies?: unknown;
}) {
  const asked: string[] = [];
  let stopped = 0;
  const fetch = async (address: string | URL) => {
    const path = String(address).replace(/^\w+:.*\//, "");
    asked.push(path);
    if (has.dies) throw has.dies;
    if (path.includes("compute.json")) return new Response('{"worker":"worker.js"}', { status: has.list === false ? 404 : 200 });
    if (path.split("?")[0] === has.lacks) return new Response(null, { status: 404 });
    return new Response(has.page ?? page);
  };
  class Worker {
    onmessage: ((event: { data: object }) => void) | null = null;
    constructor() {
      queueMicrotask(() => this.onmessage?.({ data: { ready: true } }));
    }
    postMessage({ id, name }: { id: number; name?: string }) {
      const answer = name ? { ok: true, output: { readingM: has.readingM ?? 1.435 } } : { ok: has.fold !== false, output: {} };
      queueMicrotask(() => this.onmessage?.({ data: { id, answer } }));
    }
    terminate() {
      stopped++;
    }
  }
  const said = await withGlobals({ fetch, Worker }, probeOffline);
  return { said, asked, stopped };
}

test("a page with its files and its computations works; else what it lacks is said", async () => {
  const good = await probed({});
  assert.deepEqual([good.said, good.stopped], ["", 1]);
  assert.deepEqual(good.asked, ["/field/?kept", "/field/a.css?kept", "/field/b.js?kept", "compute.json?kept"]);
  for (const [name, has, want, stopped] of [
    ["the page", { lacks: "/field/" }, /^\/field\/ is not on this phone\.$/, 0],
    ["a part", { lacks: "/field/b.js" }, /^\/field\/b\.js is not on this phone\.$/, 0],
    ["a page without parts", { page: "<p>" }, /cannot be read\.$/, 0],
    ["the computations", { list: false }, /^The computations are not on this phone\.$/, 0],
    ["a wrong answer", { readingM: 1.436 }, /do not answer\.$/, 1],
    ["a wrong answer the other way", { readingM: 1.434 }, /do not answer\.$/, 1],
    ["no fold", { fold: false }, /do not answer\.$/, 1],
    ["a browser that fails", { dies: new Error("it fails") }, /^it fails$/, 0],
    ["a browser that fails oddly", { dies: "odd" }, /^odd$/, 0],
  ] as const) {
    const { said, stopped: ended } = await probed(has);
    assert.match(said, want, name);
    assert.equal(ended, stopped, name);
  }
});
