// The files of the page as they are kept on the phone: one cache for each version, and a
// note which of them is given. A version is given only when it is there whole.

import type { Shelved } from "./scope.ts";

const prefix = "page-";
const noteCache = "page.given"; // no version's: it has no dash
const noteAddress = "/field/given-version";

/** Tells the phone's other workers that another version is given from now on. */
const news = new BroadcastChannel("headcut-given-version");

/** The cache of the version that is given: looked up once, as every file of the page asks. */
let known: Promise<Cache | undefined> | undefined;
news.onmessage = () => void (known = undefined);

/** How many files are fetched at a time: a bad link does not go faster with more. */
const atATime = 4;

/** The version that the page is given; undefined when there is none yet. */
export async function given(): Promise<string | undefined> {
  const note = await (await caches.open(noteCache)).match(noteAddress);
  return note?.text();
}

/** From now on the page is given this version; the others are dropped. */
export async function give(version: string): Promise<void> {
  await (await caches.open(noteCache)).put(noteAddress, new Response(version));
  known = undefined;
  news.postMessage(version);
  await drop(version);
}

/** Drops all versions but these. */
export async function drop(...but: readonly string[]): Promise<void> {
  for (const name of await caches.keys()) {
    if (name.startsWith(prefix) && !but.includes(name.slice(prefix.length))) await caches.delete(name);
  }
}

/** The file of the version that is given, as an address asks for it. */
export async function find(address: URL): Promise<Response | undefined> {
  known ??= open().catch(() => (known = undefined)); // asked again for the next file
  return (await known)?.match(address.pathname);
}

async function open(): Promise<Cache | undefined> {
  const version = await given();
  if (version === undefined || !(await caches.has(prefix + version))) return undefined;
  return caches.open(prefix + version);
}

/**
 * Fetches a version whole. It fails when one file cannot be had or has other bytes than the
 * server said; what has arrived by then stays, so that the next try over a bad link goes on
 * from there, but nobody is given it.
 */
export async function fill({ version, files }: Shelved): Promise<void> {
  const cache = await caches.open(prefix + version);
  const waiting = [...files];
  const fetchOn = async (): Promise<void> => {
    for (let file = waiting.shift(); file; file = waiting.shift()) {
      if (!(await cache.match(file.url))) await cache.put(file.url, await fetched(file.url, file.integrity));
    }
  };
  await Promise.all(Array.from({ length: atATime }, fetchOn));
}

async function fetched(url: string, integrity: string): Promise<Response> {
  const had = await earlier(url, integrity);
  if (had) return had;
  // fetch itself rejects what does not have the bytes that integrity tells.
  const response = await fetch(url, { integrity, cache: "no-cache", credentials: "same-origin" });
  if (!response.ok) throw new Error(`${url}: the server answered ${response.status}`);
  return response;
}

/** The same file of another version: only what has changed is fetched again. */
async function earlier(url: string, integrity: string): Promise<Response | undefined> {
  const had = await caches.match(url);
  if (!had) return undefined;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", await had.clone().arrayBuffer()));
  return integrity === "sha256-" + btoa(String.fromCharCode(...digest)) ? had : undefined;
}
