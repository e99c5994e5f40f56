// The small versions of others' photos are brought onto the phone last.

import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import type { Feature } from "../base/entry.ts";
import { withGlobals } from "../base/globals.test.ts";
import type { Store } from "../storage/store.ts";
import type { Connection } from "./connection.ts";
import { SmallPhotos } from "./smallphotos.ts";

const shas = { mine: "1", one: "2", two: "3", here: "4", struck: "5", three: "6" } as const;
type Name = keyof typeof shas;
const sha = (name: Name) => shas[name].repeat(64);
const nameOf = (address: string) => (Object.keys(shas) as Name[]).find((name) => address.includes(sha(name)));

const visit = (id: string, photos: readonly Name[], struck = false): Feature => ({
  ...{ id, property: "p", struck, clashes: [], saw: {}, stamp: "0", unsent: 0 },
  fields: { kind: "visit", photos: photos.map(sha) },
});

test("what is lacking is fetched, told as it comes, and looked for again after a while", async () => {
  const clock = new Clock();
  const kept = new Map<string, Response>();
  const cache = { match: async (a: string) => kept.get(a)?.clone(), put: async (a: string, r: Response) => void kept.set(a, r) };
  let asked: unknown[] = [];
  let works = true;
  let features = [visit("a", ["mine", "one"]), visit("b", ["one", "two", "here"]), visit("c", ["struck"], true), visit("n", [])];
  kept.set(`/photos/${sha("here")}?small=1`, new Response("x"));
  const fetch = async (address: string) => {
    asked.push(nameOf(address));
    if (!works) throw new TypeError("no signal");
    return new Response("x");
  };
  const store = {
    features: async () => features,
    photos: async (id: string) => (id === "a" ? [{ sha: sha("mine") }] : []),
    self: () => ({ token: "t" }),
  } as unknown as Store;
  const connection = { welcome: { properties: ["p"] }, ended: null as Error | null };
  const told: unknown[] = [];
  let done = 0;
  const small = new SmallPhotos(
    store,
    (loading) => told.push(loading),
    () => done++,
  );
  const goOn = async () => {
    asked = [];
    small.goOn(connection as unknown as Connection);
    await clock.settle();
    return asked;
  };
  await withGlobals({ ...clock.globals, fetch, caches: { open: async () => cache } }, async () => {
    assert.deepEqual(await goOn(), ["one", "two"]);
    const loading = (got: number) => ({ property: "p", entries: 0, ofEntries: null, photos: { got, of: 2 } });
    assert.deepEqual([told, done], [[loading(0), loading(1)], 1]);
    features = [...features, visit("d", ["three"])];
    await clock.pass(299_999);
    assert.deepEqual(await goOn(), [], "not so soon");
    await clock.pass(1);
    works = false;
    assert.deepEqual(await goOn(), ["three"]);
    assert.equal(done, 2);
    works = true;
    await clock.pass(300_000);
    connection.ended = new Error("gone");
    assert.deepEqual(await goOn(), [], "the connection ended");
    assert.equal(done, 2);
    connection.ended = null;
    assert.deepEqual(await goOn(), ["three"], "at the next one");
    assert.deepEqual([done, told.length], [3, 4]);
  });
});
