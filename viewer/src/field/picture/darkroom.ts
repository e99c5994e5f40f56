// Records the photos that lie on the phone: each is brought to size, and then saved with
// its entry in one go. Until that has happened the original stays among the drafts, so that
// the phone may die at any moment; an original that cannot be brought to size is recorded
// as it is.
//
// Which bytes the entry names: those that are sent. The entry is therefore written once
// they are final, and holds the time, place and direction of the tap.

import type { Field } from "../field.ts";
import { sha256Hex } from "../shelf/hash.ts";
import { develop, NotDeveloped } from "./develop.ts";
import { filmOf, mostKeptBytes, type Film } from "./film.ts";
import { sizeOfJPEG } from "./jpeg.ts";
import { pictureDraft } from "./record.ts";
import { kept, type Shot } from "./roll.ts";

let working: Promise<void> = Promise.resolve();

/** Records what waits, one after the other. Rejects with ShelfTrouble when nothing can be saved. */
export function developAll(field: Field): Promise<void> {
  const work = () => workThrough(field);
  return (working = working.then(work, work)); // a photo taken meanwhile has its turn after
}

async function workThrough(field: Field): Promise<void> {
  const film = filmOf(field.shelf);
  const tried = new Set<string>();
  for (;;) {
    const next = kept(await film.shots()).find((s) => !tried.has(s.id)); // of every property, whichever is open
    if (!next) return;
    tried.add(next.id);
    await recordShot(field, film, next);
  }
}

async function recordShot(field: Field, film: Film, shot: Shot): Promise<void> {
  const before = await field.shelf.feature(shot.id);
  const known = before?.fields["photos"];
  if (shot.sha && Array.isArray(known) && known.includes(shot.sha)) return film.done(shot.id); // saved just before the phone died
  const original = await film.bytes(shot.id);
  if (!original) return film.note({ do: "stuck", id: shot.id, trouble: "The photo is no longer on the phone." });
  let bytes = original;
  try {
    if (!shot.ready) bytes = await develop(original, shot.purpose);
  } catch (error) {
    if (!(error instanceof NotDeveloped)) throw error;
    if (!sizeOfJPEG(new Uint8Array(original))) return film.note({ do: "stuck", id: shot.id, trouble: error.message });
  }
  await film.note({ do: "made", id: shot.id, sha: await sha256Hex(bytes) });
  const draft = pictureDraft(shot, bytes);
  if (shot.property === field.property.id) await field.capture([draft], `Photo of ${shot.named} saved`);
  else await field.shelf.capture(shot.property, [draft]);
  await film.done(shot.id);
}

/**
 * Keeps what a camera or gallery gave. It is safe when this resolves. One that is larger
 * than the phone's store takes is brought to size first, which slow tells.
 */
export async function keepPicture(film: Film, shot: Shot, file: Blob, slow: () => void): Promise<void> {
  const bytes = await file.arrayBuffer();
  if (bytes.byteLength <= mostKeptBytes) return film.keep(shot.id, bytes, false);
  slow();
  await film.keep(shot.id, await develop(bytes, shot.purpose), true);
}
