// The service worker: what it answers, what it leaves to the network, and when it gives a version.

import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import test from "node:test";
import { pageAddress } from "../base/page.ts";
import { withGlobals } from "../base/globals.test.ts";
import { Channel } from "./news.test.ts";
import type { Which } from "./scope.ts";

const text = "the page";
const integrity = `sha256-${createHash("sha256").update(text).digest("base64")}`;

test("the worker gives its version to the page at once only where there was none, and answers for the page's files alone", async () => {
  const all = new Map<string, Map<string, Response>>();
  const caches = {
    open: async (name: string) => {
      const files = all.get(name) ?? new Map<string, Response>();
      all.set(name, files);
      return {
        match: async (at: string) => files.get(at)?.clone(),
        put: async (at: string, response: Response) => void files.set(at, response),
        keys: async () => [...files.keys()].map((at) => ({ url: `https://headcut.invalid${at}` })),
        delete: async (at: string) => files.delete(at),
      };
    },
    has: async (name: string) => all.has(name),
    keys: async () => [...all.keys()],
    delete: async (name: string) => all.delete(name),
    match: async () => undefined,
  };
  const listeners = new Map<string, (event: object) => void>();
  const done = { claims: 0, skips: 0, asked: [] as string[] };
  let signal = true;
  const globals = {
    caches,
    location: { origin: "https://headcut.invalid" },
    shelved: { version: "one", files: [{ url: pageAddress, integrity }] },
    clients: { claim: async () => void done.claims++ },
    skipWaiting: async () => void done.skips++,
    addEventListener: (type: string, listener: (event: object) => void) => listeners.set(type, listener),
    BroadcastChannel: Channel,
    fetch: async (what: string | { url: string }) => {
      done.asked.push(typeof what === "string" ? what : what.url);
      if (!signal) throw new TypeError("no signal");
      return new Response(text);
    },
  };
  await withGlobals(globals, async () => {
    await import("./worker.ts");
    const happens = async (type: string, event: object = {}) => {
      const waits: Promise<unknown>[] = [];
      listeners.get(type)!({ ...event, waitUntil: (work: Promise<unknown>) => waits.push(work) });
      await Promise.all(waits);
    };
    const tells = async (data: unknown): Promise<Which> => {
      const said: Which[] = [];
      await happens("message", { data, ports: [{ postMessage: (which: Which) => said.push(which) }] });
      return said[0]!;
    };
    const asks = async (url: string, method = "GET"): Promise<Response | undefined> => {
      let answer: Promise<Response> | undefined;
      listeners.get("fetch")!({ request: { url, method }, respondWith: (given: Promise<Response>) => (answer = given) });
      return answer;
    };
    const kept = (path: string) => asks(`https://headcut.invalid${path}?kept`);

    assert.equal((await kept(pageAddress))!.status, 504);
    assert.deepEqual(await tells("which"), { missing: 1, brought: "one", given: "one" });
    signal = false;
    assert.deepEqual(await tells("fetch again"), { missing: 1, brought: "one", given: "one" }, "no signal: nothing is given");
    signal = true;
    await happens("install");
    assert.equal(done.claims, 0);
    await happens("activate");
    assert.equal(done.claims, 1);
    assert.deepEqual(await tells("which"), { missing: 0, brought: "one", given: "one" });
    done.asked = [];
    const page = (await kept(pageAddress))!;
    assert.deepEqual([page.status, await page.text(), done.asked], [200, text, []]);
    assert.equal(await (await asks(`https://headcut.invalid${pageAddress}`))!.text(), text);
    assert.deepEqual(done.asked, [], "it is on the phone");
    for (const ours of [`${pageAddress}manifest.webmanifest`, `${pageAddress}assets/a.js`, "/assets/a.js"]) {
      done.asked = [];
      assert.ok(await asks(`https://headcut.invalid${ours}`), ours);
      assert.deepEqual(done.asked, [`https://headcut.invalid${ours}`], "what is not kept comes from the network");
    }
    done.asked = [];
    for (const others of [
      `https://headcut.invalid${pageAddress}x`,
      "https://headcut.invalid/sync",
      `https://elsewhere.invalid${pageAddress}`,
    ])
      assert.equal(await asks(others), undefined, others);
    assert.equal(await asks(`https://headcut.invalid${pageAddress}`, "POST"), undefined);

    await happens("activate");
    assert.equal(done.claims, 1, "a version is given: it waits for the officer");
    assert.equal(done.skips, 0);
    const [, notes] = [...all].find(([name]) => name.endsWith("page.given"))!;
    notes.set(`${pageAddress}given-version`, new Response("zero"));
    done.asked = [];
    assert.equal((await tells("fetch again")).given, "zero");
    assert.deepEqual(done.asked, [], "the page is of another version");
    assert.equal((await tells("take over")).given, "one");
    assert.equal(done.skips, 1);
    await tells("which");
    assert.equal(done.skips, 1);
  });
});
