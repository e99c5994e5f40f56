// The field page without screens: its real store, link and computations, with a hand to
// move them by.

import { WorkerModel } from "../../src/compute/model.ts";
import { PhoneSync } from "../../src/sync/sync.ts";
import { smallAddress, smallCache } from "../../src/storage/smallphotos.ts";
import { openStore, newID, type PhoneStore } from "../../src/storage/index.ts";

const model = new WorkerModel();
let store: PhoneStore;
let sync: PhoneSync;

/** What the link said, whenever it changed: state and words, with what was unsent then. */
export const told: { atMS: number; state: string; words: string; loading: unknown }[] = [];

let seed = 1;
/** A number from 0 to under 1, drawn from the seed that open was given. */
function random(): number {
  seed = (seed + 0x6d2b79f5) >>> 0; // mulberry32, public domain
  let drawn = Math.imul(seed ^ (seed >>> 15), seed | 1);
  drawn ^= drawn + Math.imul(drawn ^ (drawn >>> 7), drawn | 61);
  return ((drawn ^ (drawn >>> 14)) >>> 0) / 2 ** 32;
}

/** Opens store and link, and draws from a seed. Waits between connections are this part of what they are in the field. */
export async function open(from: number, wait = 0.02): Promise<boolean> {
  seed = from;
  store = await openStore({ gather: (features) => model.gather(features) });
  sync = new PhoneSync(store, { chance: () => random() * wait });
  const note = () => {
    const { state, words, loading } = sync.state();
    const last = told[told.length - 1];
    if (last?.state !== state || last.words !== words) told.push({ atMS: performance.now(), state, words, loading });
  };
  sync.watch(note);
  note();
  void sync.run();
  return true;
}

export async function enrol(code: string, author: string): Promise<string> {
  const device = newID();
  const answer = await fetch("/enrol", {
    method: "POST",
    body: JSON.stringify({ code, device, author }),
    headers: { "Content-Type": "application/json" },
  });
  const given = await answer.json();
  if (!answer.ok) throw new Error(JSON.stringify(given));
  await store.enrol({ device, token: given.token, author, properties: given.properties });
  sync.sendNow();
  return device;
}

/** Ids of entries that the store said were saved. */
export const saved: string[] = [];
/** Hashes of photos that were. */
export const photos: string[] = [];

function noise(bytes: number): ArrayBuffer {
  const made = new Uint32Array(Math.ceil(bytes / 4));
  let last = (random() * 2 ** 32) >>> 0;
  for (let i = 0; i < made.length; i++) made[i] = last = (Math.imul(last, 1664525) + 1013904223) >>> 0;
  const photo = made.buffer.slice(0, bytes);
  new Uint8Array(photo).set([0xff, 0xd8, 0xff, 0xc0, 0, 11, 8, 0, 1, 0, 1, 1, 1, 0x11, 0]); // the server takes JPEG alone
  return photo;
}

/** Records points one after the other, each by itself; every so often with a photo. */
export async function capture(count: number, everyPhoto = 0, photoBytes = 0): Promise<number> {
  const property = store.self()!.properties[0]!.id;
  for (let i = 1; i <= count; i++) {
    const photo = everyPhoto > 0 && i % everyPhoto === 0;
    const set = {
      kind: "gully-head",
      name: `Head ${saved.length + 1}`,
      headDepthM: 1.6,
      notes: "fresh fall of the wall, roots bare on the left",
      accuracyM: 4.5,
      geometry: { type: "Point", coordinates: [147.1 + random() / 100, -20.2 - random() / 100] },
    };
    const [one] = await store.capture(property, [{ set, ...(photo && { photo: { bytes: noise(photoBytes), takenFor: "" } }) }]);
    saved.push(one!.entry);
    if (photo) photos.push(...((await store.feature(one!.feature))!.fields["photos"] as string[]));
  }
  return saved.length;
}

let capturing: Promise<void> | null = null;
let stopping = false;

/** Goes on recording, about one in so many milliseconds, until stop. */
export function keepCapturing(everyMS: number, everyPhoto = 0, photoBytes = 0): boolean {
  stopping = false;
  capturing = (async () => {
    for (let i = 1; !stopping; i++) {
      const photo = everyPhoto > 0 && i % everyPhoto === 0;
      await capture(1, photo ? 1 : 0, photoBytes);
      await new Promise((go) => setTimeout(go, random() * 2 * everyMS));
    }
  })();
  return true;
}

export async function stop(): Promise<number> {
  stopping = true;
  await capturing;
  return saved.length;
}

export const counts = () => store.counts();
export const state = (): unknown => JSON.parse(JSON.stringify(sync.state()));
export const features = (property: string) => store.features(property);
export const self = () => store.self();
export const trouble = () => store.trouble()?.kind ?? "";

/** Loses the database, as a browser does that takes it for damaged. */
export async function lose(): Promise<void> {
  sync.close();
  store.close();
  await new Promise((done, failed) => {
    const asked = indexedDB.deleteDatabase(store.db.name);
    asked.onsuccess = done;
    asked.onerror = failed;
  });
}
/** Brings back from the second copy what the browser has lost. */
export async function bringBack(): Promise<boolean> {
  await store.bringBack();
  sync.sendNow();
  return true;
}
export const copied = () => store.copied();
export function sendNow(): boolean {
  sync.sendNow();
  return true;
}

/** Ids of the entries that wait on this phone, and hashes of the photos. */
export async function waiting(): Promise<{ entries: string[]; photos: string[] }> {
  const all = await store.outbox.all();
  return { entries: all.entries.map((e) => (JSON.parse(e.text) as { id: string }).id), photos: all.photos.map((p) => p.sha) };
}

/** The text of the oldest entry that waits. */
export const firstUnsent = async (): Promise<string> => (await store.outbox.all()).entries[0]!.text;

let looking: Promise<number>;

/** Watches for a feature to get a name; found() gives when it did, by the wall clock. */
export function lookFor(feature: string, name: string): boolean {
  looking = new Promise((resolve) => {
    const done = store.watch(async () => {
      if ((await store.feature(feature))?.fields["name"] !== name) return;
      done();
      resolve(Date.now());
    });
  });
  return true;
}
export const found = () => looking;

/** The phone's id on the server. */
export const device = (): string => store.self()!.device;

/** Records a photo of a new point. */
export async function photograph(base64: string): Promise<string> {
  const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0)).buffer;
  const [one] = await store.capture(store.self()!.properties[0]!.id, [{ set: { kind: "gully-head" }, photo: { bytes, takenFor: "" } }]);
  saved.push(one!.entry);
  const sha = ((await store.feature(one!.feature))!.fields["photos"] as string[])[0]!;
  photos.push(sha);
  return sha;
}

/** Bytes of the small version of a photo that is kept on this phone; 0 when there is none. */
export const smallBytes = async (sha: string): Promise<number> =>
  (await (await (await caches.open(smallCache)).match(smallAddress(sha)))?.arrayBuffer())?.byteLength ?? 0;

/** Records for a feature that is there already. */
export async function correct(feature: string, set: { [name: string]: unknown }): Promise<string> {
  const [one] = await store.capture(store.self()!.properties[0]!.id, [{ feature, set }]);
  saved.push(one!.entry);
  return one!.feature;
}
