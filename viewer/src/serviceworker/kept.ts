// The files of the page as they are kept on the device: one cache for each version, and a
// note which of them is given. A version is given only when it is there whole. The one that
// was given before it stays too: a page that was open then still asks for parts of it.

import { cachePrefix, pageAddress } from "../base/page.ts";
import { newsChannel, type Shelved, type Taken } from "./scope.ts";

const prefix = `${cachePrefix}page-`;
const noteCache = `${cachePrefix}page.given`; // no version's: it has no dash
const noteAddress = `${pageAddress}given-version`;
const beforeAddress = `${pageAddress}given-before`;
const filesAddress = (version: string) => `${pageAddress}files-of/${version}`;

/** Tells the phone's other workers and pages that another version is given from now on. */
const news = new BroadcastChannel(newsChannel);

/** The cache of the version that is given: looked up once, as every file of the page asks. */
let known: Promise<Cache | undefined> | undefined;
news.onmessage = () => void (known = undefined);

/** How many files are fetched at a time: a bad link does not go faster with more. */
const atATime = 4;

/** The version that the page is given; undefined when there is none yet. */
export const given = (): Promise<string | undefined> => noted(noteAddress);

async function noted(address: string): Promise<string | undefined> {
  const note = await (await caches.open(noteCache)).match(address);
  return note?.text();
}

/** From now on the page is given this version. */
export async function give(version: string): Promise<void> {
  const notes = await caches.open(noteCache),
    before = await given();
  if (before !== undefined && before !== version) await notes.put(beforeAddress, new Response(before));
  await notes.put(noteAddress, new Response(version));
  known = undefined;
  news.postMessage({ given: version, before } satisfies Taken);
  await dropOthers(version);
}

/** Drops all versions but this one, the one that is given, and the one before that. */
export async function dropOthers(version: string): Promise<void> {
  const staying = [version, await given(), await noted(beforeAddress)];
  for (const name of await caches.keys()) {
    const of = name.slice(prefix.length);
    if (!name.startsWith(prefix) || staying.includes(of)) continue;
    await caches.delete(name);
    await (await caches.open(noteCache)).delete(filesAddress(of));
  }
}

/** How many files of the version that is given are not on the phone. */
export async function missing(): Promise<number> {
  const version = await given(),
    cache = await cacheOf(version);
  const list = version === undefined ? undefined : await (await caches.open(noteCache)).match(filesAddress(version));
  if (!cache || !list) return 1; // nothing is known of it
  const has = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  return ((await list.json()) as string[]).filter((url) => !has.has(url)).length;
}

/**
 * The file of the version that is given, as an address asks for it. What that one does not
 * have is asked for by a page that was opened with the version before.
 */
export async function find({ pathname }: URL): Promise<Response | undefined> {
  known ??= given()
    .then(cacheOf)
    .catch(() => (known = undefined)); // asked again for the next file
  return (await (await known)?.match(pathname)) ?? (await cacheOf(await noted(beforeAddress)))?.match(pathname);
}

async function cacheOf(version: string | undefined): Promise<Cache | undefined> {
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
      if (!(await sameBytes(await cache.match(file.url), file.integrity)))
        await cache.put(file.url, await fetched(file.url, file.integrity));
    }
  };
  await Promise.all(Array.from({ length: atATime }, fetchOn));
  await (await caches.open(noteCache)).put(filesAddress(version), new Response(JSON.stringify(files.map(({ url }) => url))));
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
  return (await sameBytes(had, integrity)) ? had : undefined;
}

/** Whether a file is there and has the bytes that integrity tells. */
async function sameBytes(had: Response | undefined, integrity: string): Promise<boolean> {
  if (!had) return false;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", await had.clone().arrayBuffer()));
  return integrity === "sha256-" + btoa(String.fromCharCode(...digest));
}
