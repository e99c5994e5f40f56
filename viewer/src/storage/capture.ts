// Records drafts: all of them, with their photos, in one transaction or not at all.

import type { Entry, Feature, Fields } from "../base/entry.ts";
import type { Draft, Saved } from "./store.ts";
import { request, type Connection, type Writing } from "./connection.ts";
import { cleaned, encode, isID, localTime } from "./encode.ts";
import { sha256Hex } from "./hash.ts";
import { Counted } from "./counters.ts";
import type { HighWater } from "./highwater.ts";
import { overlay, sawOthers, unknownFeature } from "./overlay.ts";
import type { SelfRow } from "./schema.ts";
import type { Keeping } from "./backupcache.ts";
import { entryRecord, photoRecord, seqRecord } from "./backuprecords.ts";
import { unsentRow } from "./sent.ts";
import { nextStamp } from "./stamp.ts";
import { behind, gone, invalid, notEnrolled } from "./errors.ts";
import { newID } from "../base/uuid.ts";

export const photoBytes = 8 << 20; // the most a photo may have

export interface Captured {
  readonly saved: readonly Saved[];
  readonly features: readonly Feature[]; // as they now stand
  readonly device: string;
  readonly seqs: ReadonlyMap<string, number>; // by property, the last deviceSeq given
}

/** A draft with its ids and hash: what does not depend on what else is stored. */
interface Prepared {
  readonly id: string;
  readonly feature: string;
  readonly set: Fields | undefined;
  readonly strike: boolean | undefined;
  readonly seenAt: Date;
  readonly photo: { readonly sha: string; readonly bytes: ArrayBuffer } | undefined;
}

/** Where what is recorded goes at the same time. */
export type Copying = (records: readonly Keeping[]) => void;

/**
 * Records drafts, seen now by the phone's clock where they do not say when. They are given
 * to be copied while the database writes them; should it fail, that copy is of nothing.
 */
export async function capture(
  db: Connection,
  marks: HighWater,
  property: string,
  drafts: readonly Draft[],
  now: Date,
  copying: Copying,
): Promise<Captured> {
  if (drafts.length === 0) throw invalid("There is nothing to record.", "Fill in a field.");
  const prepared = await Promise.all(drafts.map((draft) => prepare(draft, now)));
  const tables = ["entries", "features", "selves", "ledger"] as const;
  const withPhotos = prepared.some((p) => p.photo);
  return db.write(withPhotos ? [...tables, "photos", "photoBytes"] : tables, (tx, again) =>
    keep(tx, marks, property, prepared, now, again, copying),
  );
}

async function prepare(draft: Draft, now: Date): Promise<Prepared> {
  const { photo, set, strike } = draft;
  if (strike !== undefined && (set || photo)) throw invalid("An entry either sets fields or strikes out.", "Save the two separately.");
  if (strike === undefined && !set && !photo) throw invalid("There is nothing to record.", "Fill in a field.");
  if (photo && !(photo.bytes instanceof ArrayBuffer)) throw invalid("The photo is not in memory.", "Take it again.");
  if (photo && (photo.bytes.byteLength === 0 || photo.bytes.byteLength > photoBytes)) {
    throw invalid(
      `A photo may have 8 MB and this one has ${(photo.bytes.byteLength / 2 ** 20).toFixed(1)}.`,
      "Take it at a lower quality.",
    );
  }
  const feature = draft.feature ?? (photo?.takenFor || newID(now.getTime()));
  if (!isID(feature)) throw invalid(`“${feature}” is not the id of an item.`, "Open it from the map or the list.");
  return {
    id: newID(now.getTime()),
    feature,
    set: set && cleaned(set),
    strike,
    seenAt: draft.seenAt ?? now,
    photo: photo && { sha: await sha256Hex(photo.bytes), bytes: photo.bytes },
  };
}

async function keep(
  tx: Writing,
  marks: HighWater,
  property: string,
  prepared: readonly Prepared[],
  now: Date,
  again: boolean,
  copying: Copying,
): Promise<Captured> {
  const features = tx.objectStore("features"),
    ids = [...new Set(prepared.map((p) => p.feature))];
  const [self, counted, known, saved] = await Promise.all([
    tx.objectStore("selves").get("self"),
    Counted.in(tx),
    Promise.all(ids.map((id) => features.get(id))),
    again ? tx.objectStore("entries").count(prepared[0]!.id) : 0,
  ]);
  if (!self) throw marks.any ? gone() : notEnrolled();
  // What is known of a feature stays together, under the property that it was begun on.
  const touched = new Map(ids.map((id, i) => [id, known[i] ?? unknownFeature(id, property)]));
  const homes = new Set([property, ...Array.from(touched.values(), (f) => f.property)]);
  for (const home of homes) if (counted.seq(home) < marks.high(self.device, home)) throw behind();
  const copy: Keeping[] = [];
  const done = (): Captured => ({
    saved: prepared.map((p) => ({ feature: p.feature, entry: p.id })),
    features: [...touched.values()],
    device: self.device,
    seqs: new Map(Array.from(homes, (home) => [home, counted.seq(home)])),
  });
  if (saved > 0) return done(); // before the connection was lost
  for (const p of prepared) {
    const before = touched.get(p.feature)!;
    const home = before.property,
      seq = counted.nextSeq(home),
      place = counted.nextPlace(),
      entry = entryOf(p, self, before, seq, now);
    const text = encode(entry, performance.timeOrigin + performance.now());
    copy.push(entryRecord({ id: p.id, property: home, text }));
    counted.entry(undefined, unsentRow(entry, text, place, now.getTime()));
    touched.set(p.feature, overlay(before, entry));
    if (p.photo) copy.push(await keepPhoto(counted, p.photo, p.feature, place));
  }
  for (const feature of touched.values()) request(features.put(feature));
  for (const home of homes) copy.push(seqRecord({ device: self.device, property: home, seq: counted.seq(home) }));
  counted.close();
  copying(copy);
  return done();
}

function entryOf(p: Prepared, self: SelfRow, before: Feature, deviceSeq: number, now: Date): Entry {
  const set = p.photo ? { ...p.set, photos: photosWith(p.set?.["photos"] ?? before.fields["photos"], p.photo.sha) } : p.set;
  return {
    v: 1,
    id: p.id,
    property: before.property,
    feature: p.feature,
    device: self.device,
    deviceSeq,
    stamp: nextStamp(before.stamp, now.getTime()),
    seenAt: localTime(p.seenAt),
    author: self.author,
    saw: sawOthers(before, self.device),
    ...(set && { set }),
    ...(p.strike !== undefined && { strike: p.strike }),
  };
}

function photosWith(before: unknown, sha: string): readonly unknown[] {
  const known: readonly unknown[] = Array.isArray(before) ? before : [];
  return known.includes(sha) ? known : [...known, sha];
}

/** Keeps a photo in the same transaction as the entry that names it. */
async function keepPhoto(counted: Counted, photo: { sha: string; bytes: ArrayBuffer }, feature: string, place: number): Promise<Keeping> {
  const known = await counted.tx.objectStore("photos").get(photo.sha);
  if (known) {
    // taken for two features: the bytes are the same
    const features = [...new Set([...known.features, feature])];
    counted.photo(known, { ...known, features });
    return photoRecord(photo.sha, features, photo.bytes);
  }
  request(counted.tx.objectStore("photoBytes").put(photo.bytes, photo.sha));
  counted.photo(undefined, { sha: photo.sha, features: [feature], size: photo.bytes.byteLength, waiting: place });
  return photoRecord(photo.sha, [feature], photo.bytes);
}
