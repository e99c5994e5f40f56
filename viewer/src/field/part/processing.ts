// Records the photos that lie on the phone: each is brought to size, and then saved with
// its entry in one go. Until that has happened the original stays among the drafts, so that
// the phone may die at any moment; an original that cannot be brought to size is recorded
// as it is.
//
// Which bytes the entry names: those that are sent. The entry is therefore written once
// they are final, and holds the time, place and direction of the tap. A picture of another
// time is recorded when the officer has answered when that was, and brought to size before.

import type { Field } from "../context/field.ts";
import { sha256Hex } from "../../storage/hash.ts";
import { resize, NotResized } from "../../survey/photo/resize.ts";
import { toldBy } from "../../survey/photo/exif.ts";
import { photoStoreOf, mostKeptBytes, type PhotoStore } from "../../survey/photo/photostore.ts";
import { sizeOfJPEG } from "../../survey/photo/jpeg.ts";
import { pictureDraft } from "../../survey/photo/record.ts";
import { asked, kept, type Shot } from "../../survey/photo/pendingphotos.ts";
import { ofTheTap } from "../../survey/photo/taken.ts";

let working: Promise<void> = Promise.resolve();

/** Records what waits, one after the other. Rejects with StorageError when nothing can be saved. */
export function processAll(field: Field): Promise<void> {
  const work = () => workThrough(field);
  return (working = working.then(work, work)); // a photo taken meanwhile has its turn after
}

async function workThrough(field: Field): Promise<void> {
  const store = photoStoreOf(field.store);
  const tried = new Set<string>();
  for (;;) {
    const shots = await store.shots();
    const next = kept(shots).find((s) => !tried.has(s.id)); // of every property, whichever is open
    const unsized = next ? undefined : asked(shots).find((s) => !s.ready && !tried.has(s.id + s.stage));
    if (next) {
      tried.add(next.id);
      await recordShot(field, store, next);
    } else if (unsized) {
      tried.add(unsized.id + unsized.stage);
      const bytes = await broughtToSize(store, unsized);
      if (bytes) await store.sized(unsized.id, bytes);
    } else return;
  }
}

async function recordShot(field: Field, store: PhotoStore, shot: Shot): Promise<void> {
  const before = await field.store.feature(shot.id);
  const known = before?.fields["photos"];
  if (shot.sha && Array.isArray(known) && known.includes(shot.sha)) return store.done(shot.id); // saved just before the phone died
  const bytes = await broughtToSize(store, shot);
  if (!bytes) return;
  await store.note({ do: "made", id: shot.id, sha: await sha256Hex(bytes) });
  const draft = pictureDraft(shot, bytes);
  if (shot.property === field.property.id) await field.capture([draft], `Photo of ${shot.named} saved`);
  else await field.store.capture(shot.property, [draft]);
  await store.done(shot.id);
}

/** Undefined when there are no bytes to record, which is then noted. */
async function broughtToSize(store: PhotoStore, shot: Shot): Promise<ArrayBuffer | undefined> {
  const stuck = async (trouble: string) => void (await store.note({ do: "stuck", id: shot.id, trouble }));
  const original = await store.bytes(shot.id);
  if (!original) return void (await stuck("The photo is no longer on the phone."));
  if (shot.ready) return original;
  try {
    return await resize(original, shot.purpose);
  } catch (error) {
    if (!(error instanceof NotResized)) throw error;
    return sizeOfJPEG(new Uint8Array(original)) ? original : void (await stuck(error.message));
  }
}

/**
 * Keeps what a camera or gallery gave. It is safe when this resolves. One that is larger
 * than the phone's store takes is brought to size first, which slow tells. A picture that was
 * not taken at the tap of the shot is kept to be asked about.
 */
export async function keepPicture(store: PhotoStore, shot: Shot, from: "camera" | "gallery", file: File, slow: () => void): Promise<void> {
  const bytes = await file.arrayBuffer();
  const told = toldBy(new Uint8Array(bytes));
  const other = ofTheTap(shot, from, told, file.lastModified, Date.now()) ? undefined : told;
  if (bytes.byteLength <= mostKeptBytes) return store.keep(shot.id, bytes, false, other);
  slow();
  await store.keep(shot.id, await resize(bytes, shot.purpose), true, other);
}
