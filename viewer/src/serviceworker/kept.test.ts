// The page's files as the service worker keeps them: a version is given only when it is whole.

import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { Channel, told } from "./news.test.ts";

class Caches {
  readonly all = new Map<string, Map<string, Response>>();
  async open(name: string) {
    const files = this.all.get(name) ?? new Map<string, Response>();
    this.all.set(name, files);
    return {
      match: async (address: string) => files.get(address)?.clone(),
      put: async (address: string, response: Response) => void files.set(address, response),
      keys: async () => [...files.keys()].map((address) => ({ url: `https://headcut.invalid${address}` })),
      delete: async (address: string) => files.delete(address),
    };
  }
  has = async (name: string) => this.all.has(name);
  keys = async () => [...this.all.keys()];
  delete = async (name: string) => this.all.delete(name);
  async match(address: string) {
    for (const files of this.all.values()) if (files.has(address)) return files.get(address)!.clone();
    return undefined;
  }
}

const integrity = (text: string) => `sha256-${createHash("sha256").update(text).digest("base64")}`;
const version = (name: string, files: { readonly [url: string]: string }) => ({
  version: name,
  files: Object.entries(files).map(([url, text]) => ({ url, integrity: integrity(text) })),
});
const textOf = async (of: Promise<Response | undefined>) => (await of)?.text();
const at = (path: string) => new URL(`https://headcut.invalid${path}`);

test("versions are fetched whole, given one at a time, and the one before stays", async () => {
  const caches = new Caches();
  const server = new Map<string, string>();
  let asked: string[] = [];
  const fetch = async (url: string, how: { integrity: string }) => {
    asked.push(url);
    const text = server.get(url);
    if (text === undefined) return new Response(null, { status: 404 });
    if (integrity(text) !== how.integrity) throw new TypeError("integrity");
    return new Response(text);
  };
  await withGlobals({ caches, fetch, BroadcastChannel: Channel }, async () => {
    const kept = await import("./kept.ts");
    await caches.open("headcut-spare/headcut");
    const one = version("one", { "/field/": "page 1", "/field/assets/a.js": "a", "/field/assets/b.js": "b" });
    assert.equal(await kept.given(), undefined);
    assert.equal(await kept.missing(), 1);
    assert.equal(await kept.find(at("/field/")), undefined);

    server.set("/field/", "page 1").set("/field/assets/a.js", "a");
    await assert.rejects(kept.fill(one), /b\.js: the server answered 404/);
    server.set("/field/assets/b.js", "other bytes");
    await assert.rejects(kept.fill(one));
    assert.equal(await kept.given(), undefined, "it is not whole");
    server.set("/field/assets/b.js", "b");
    asked = [];
    await kept.fill(one);
    assert.deepEqual(asked, ["/field/assets/b.js"], "what had arrived is not fetched again");
    told.length = 0;
    await kept.give("one");
    assert.deepEqual(told.splice(0), [{ given: "one", before: undefined }]);
    assert.equal(await kept.missing(), 0);
    assert.equal(await textOf(kept.find(at("/field/"))), "page 1");
    assert.equal(await kept.find(at("/field/other")), undefined);

    const two = version("two", { "/field/": "page 2", "/field/assets/a.js": "a" });
    server.set("/field/", "page 2");
    asked = [];
    await kept.fill(two);
    assert.deepEqual(asked, ["/field/"], "a file that is the same is taken from the version before");
    await kept.dropOthers("two");
    assert.equal(await textOf(kept.find(at("/field/"))), "page 1", "it waits for the officer");
    await kept.give("two");
    assert.deepEqual(told.splice(0), [{ given: "two", before: "one" }]);
    assert.equal(await textOf(kept.find(at("/field/"))), "page 2");
    assert.equal(await textOf(kept.find(at("/field/assets/b.js"))), "b", "a page that is open still asks for it");
    await kept.give("two");
    assert.equal(await textOf(kept.find(at("/field/assets/b.js"))), "b", "given again, it is not the one before");

    server.set("/field/", "page 3");
    await kept.fill(version("three", { "/field/": "page 3" }));
    await kept.give("three");
    assert.equal(await kept.find(at("/field/assets/b.js")), undefined, "two versions back is gone");
    assert.ok(![...caches.all.keys()].some((name) => name.endsWith("one")));
    assert.equal(await textOf(kept.find(at("/field/assets/a.js"))), "a");
    const name = [...caches.all.keys()].find((n) => n.endsWith("three"))!;
    caches.all.get(name)!.delete("/field/");
    assert.equal(await kept.missing(), 1, "the browser dropped a file");
    caches.all.delete(name);
    assert.equal(await kept.missing(), 1);
    assert.ok(caches.all.has("headcut-spare/headcut"), "what is not the page's own is left alone");
  });
});
