// Takes in what the server tells of the register: entries of this phone and of others,
// in the order of their numbers, verified against the chain of hashes.

import type { Entry, Feature } from "../base/entry.ts";
import type { Position, Pulled } from "./store.ts";
import { request, type Connection, type Writing } from "./connection.ts";
import { sameEntries, standing, unfolded } from "./refold.ts";
import { bytesOf, chainAfter, hexOf, noChain, sha256 } from "./hash.ts";
import { Counted } from "./counters.ts";
import type { EntryRow } from "./schema.ts";
import { recount, settled } from "./sent.ts";
import { countsAsIs } from "./stamp.ts";
import { closed } from "./errors.ts";
import type { Folded, Gather, Unfolded } from "../compute/fold.ts";

/** An entry as it came, and the chain up to it. */
interface Incoming {
  readonly n: number;
  readonly arrivedMS: number;
  readonly text: string;
  readonly chain: string;
  readonly entry: Entry;
}

const utf8 = new TextEncoder();

/**
 * Applies pages that continue at the phone's position, all or none, and returns the
 * features that changed. Captures go on meanwhile: a feature that one of them touched is
 * folded again before anything is written.
 */
export async function apply(db: Connection, property: string, pages: readonly Pulled[], gather: Gather): Promise<readonly Feature[]> {
  const from = (await position(db, property)) ?? { epoch: "", n: 0, hash: noChain };
  const { incoming, to } = await verify(from, pages);
  for (let tries = 0; tries < 10; tries++) {
    const before = await heldAbout(db, incoming);
    const stale = staleFeatures(incoming, before);
    const folded = stale.length > 0 ? await gather(together(stale, incoming, before)) : [];
    const changed = await write(db, property, from, to, incoming, before, folded);
    if (changed) return changed;
  }
  throw closed("what the server sent could not be taken between two saves");
}

export function position(db: Connection, property: string): Promise<Position | undefined> {
  return db.read((open) => open.get("positions", property));
}

/** Reads the pages and checks that they follow the position and give the server's chain. */
async function verify(from: Position, pages: readonly Pulled[]): Promise<{ incoming: Incoming[]; to: Position }> {
  const incoming: Incoming[] = [];
  let chain: Uint8Array<ArrayBuffer> = bytesOf(from.hash),
    n = from.n,
    to = from;
  for (const page of pages) {
    if (page.entries.length > 0 && page.first !== n + 1) {
      throw new Error(`the server's page begins at entry ${page.first}, and the entry after ${n} was asked for`);
    }
    const hashes = await Promise.all(page.entries.map((text) => sha256(utf8.encode(text))));
    for (const [i, text] of page.entries.entries()) {
      chain = await chainAfter(chain, hashes[i]!);
      n++;
      incoming.push({ n, arrivedMS: page.arrivedMS[i] ?? 0, text, chain: hexOf(chain), entry: read(text, n) });
    }
    if (n !== page.at.n || hexOf(chain) !== page.at.hash) {
      throw new Error("the entries do not give the server's chain hash: they were damaged on their way");
    }
    to = { epoch: page.at.epoch, n, hash: hexOf(chain) };
  }
  return { incoming, to };
}

function read(text: string, n: number): Entry {
  const e = JSON.parse(text) as Entry;
  if (typeof e.id !== "string" || typeof e.feature !== "string" || typeof e.device !== "string" || typeof e.deviceSeq !== "number") {
    throw new Error(`entry ${n} of the server cannot be read`);
  }
  return e;
}

/** All entries on the phone about the features that something came for. */
function heldAbout(db: Connection, incoming: readonly Incoming[]): Promise<Map<string, EntryRow[]>> {
  return db.read(async (open) => {
    const index = open.transaction("entries").store.index("feature");
    const features = [...new Set(incoming.map((i) => i.entry.feature))];
    const held = await Promise.all(features.map((f) => index.getAll(f)));
    return new Map(features.map((f, i) => [f, held[i]!]));
  });
}

/**
 * The features that must be folded again. This phone's own entries coming back as they
 * went change nothing, as long as their stamps were not too far ahead; so a phone alone
 * on a property needs no folding.
 */
function staleFeatures(incoming: readonly Incoming[], before: ReadonlyMap<string, readonly EntryRow[]>): string[] {
  const stale = new Set<string>();
  for (const { entry, text, arrivedMS } of incoming) {
    const known = before.get(entry.feature)?.find((e) => e.id === entry.id);
    if (known?.text !== text || !countsAsIs(entry.stamp, arrivedMS)) stale.add(entry.feature);
  }
  return [...stale];
}

function together(
  features: readonly string[],
  incoming: readonly Incoming[],
  before: ReadonlyMap<string, readonly EntryRow[]>,
): Unfolded[] {
  const came = new Map<string, Incoming[]>(features.map((f) => [f, []]));
  for (const i of incoming) came.get(i.entry.feature)?.push(i);
  return features.map((feature) => {
    const entries = came.get(feature)!;
    const ids = new Set(entries.map((i) => i.entry.id));
    const others = (before.get(feature) ?? []).filter((e) => !ids.has(e.id));
    return unfolded(feature, [...others, ...entries]);
  });
}

/** Writes all of it in one transaction; null when a capture came in between. */
async function write(
  db: Connection,
  property: string,
  from: Position,
  to: Position,
  incoming: readonly Incoming[],
  before: ReadonlyMap<string, readonly EntryRow[]>,
  folded: readonly Folded[],
): Promise<readonly Feature[] | null> {
  return db.write(["entries", "features", "positions", "line", "ledger"], async (tx) => {
    const entries = tx.objectStore("entries"),
      features = tx.objectStore("features");
    const now = await tx.objectStore("positions").get(property);
    if (to.hash !== from.hash && now?.hash === to.hash) {
      // written before the connection was lost
      const all = await Promise.all(Array.from(before.keys(), (id) => features.get(id)));
      return all.filter((f) => f !== undefined);
    }
    if ((now?.hash ?? noChain) !== from.hash)
      // which is of how many there are, too
      throw new Error("the phone's place in the register has moved meanwhile");
    const held = await heldUnchanged(tx, before);
    if (!held) return null;
    const known = new Map(held.map((e) => [e.id, e])); // as they are now: a receipt may have come since
    const counted = await Counted.in(tx);
    for (const i of incoming) {
      counted.entry(known.get(i.entry.id), merged(known.get(i.entry.id), i, property));
      request(tx.objectStore("line").put(i.chain, [property, i.n]));
    }
    counted.close();
    const again = new Set(folded.map((f) => f.feature));
    const changed = await Promise.all([
      ...folded.map(async (f) => {
        const feature = { ...standing(f, property), unsent: await entries.index("unsentOf").count(f.feature) };
        request(features.put(feature));
        return feature;
      }),
      recount(
        tx,
        [...before.keys()].filter((id) => !again.has(id)),
      ),
    ]);
    request(tx.objectStore("positions").put(to, property));
    return changed.flat();
  });
}

/** The entries about these features as they are now; null when a capture came in between. */
async function heldUnchanged(tx: Writing, before: ReadonlyMap<string, readonly EntryRow[]>): Promise<readonly EntryRow[] | null> {
  const index = tx.objectStore("entries").index("feature");
  const now = await Promise.all(
    Array.from(before, async ([feature, held]) => {
      const all = await index.getAll(feature);
      return sameEntries(all, held) ? all : null;
    }),
  );
  return now.some((all) => all === null) ? null : now.flatMap((all) => all ?? []);
}

/** The entry as the phone keeps it: the register has it, also if its receipt was lost. */
function merged(known: EntryRow | undefined, i: Incoming, property: string): EntryRow {
  const { refused: _, ...was } = known ? settled(known) : { savedMS: 0, refused: "" };
  const { id, feature, device, deviceSeq: seq, stamp } = i.entry;
  return { ...was, id, property, feature, device, seq, stamp, text: i.text, n: i.n, arrivedMS: i.arrivedMS };
}
