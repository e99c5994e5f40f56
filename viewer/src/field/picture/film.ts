// Keeps photos that are not yet recorded among the phone's drafts: the roll under one key,
// the bytes of each under a key of their own. A photo's bytes are written before anything
// else is done with it; when keep has resolved, a dead battery does not lose it.

import type { Shelf } from "../shelf.ts";
import { roll, type RollAction, type Shot } from "./roll.ts";

const rollKey = "photos";
const bytesKey = (id: string) => `photo/${id}`;

/** The most one stored value may have; some browsers fail on larger ones. */
export const mostKeptBytes = 8 << 20;

export interface Film {
  shots(): Promise<readonly Shot[]>;
  /** Notes that the camera is being opened. */
  expect(shot: Shot): Promise<void>;
  /** Keeps a photo's bytes. Ready ones need not be brought to size. */
  keep(id: string, bytes: ArrayBuffer, ready: boolean): Promise<void>;
  bytes(id: string): Promise<ArrayBuffer | undefined>;
  note(action: RollAction): Promise<void>;
  /** Forgets a photo: it is recorded, or it will not be taken. */
  done(id: string): Promise<void>;
  watch(changed: () => void): () => void;
}

const films = new WeakMap<Shelf, Film>();

/** The film of a shelf: one for the whole page, so that its writes follow each other. */
export function filmOf(shelf: Shelf): Film {
  const known = films.get(shelf);
  if (known) return known;
  const film = newFilm(shelf);
  films.set(shelf, film);
  return film;
}

function newFilm(shelf: Shelf): Film {
  const watchers = new Set<() => void>();
  let last: Promise<unknown> = Promise.resolve();
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const mine = last.then(work, work);
    last = mine.catch(() => {}); // told to who asked; the next goes on
    return mine;
  };
  const read = async () => (await shelf.draft<readonly Shot[]>(rollKey)) ?? [];
  const write = async (action: RollAction) => {
    await shelf.keepDraft(rollKey, roll(await read(), action));
    watchers.forEach((changed) => changed());
  };
  return {
    shots: () => inTurn(() => recovered(shelf, read)),
    expect: (shot) => inTurn(() => write({ do: "expect", shot })),
    keep: async (id, bytes, ready) => {
      await inTurn(() => shelf.keepDraft(bytesKey(id), bytes));
      // From here it is safe: should this note be lost, the bytes are found by their key.
      inTurn(() => write({ do: "keep", id, ready })).catch(() => {});
    },
    bytes: (id) => shelf.draft<ArrayBuffer>(bytesKey(id)),
    note: (action) => inTurn(() => write(action)),
    done: (id) =>
      inTurn(async () => {
        await write({ do: "done", id });
        await shelf.dropDraft(bytesKey(id));
      }),
    watch(changed) {
      watchers.add(changed);
      return () => void watchers.delete(changed);
    },
  };
}

/** The roll, with photos taken up whose bytes were written just before the phone died. */
async function recovered(shelf: Shelf, read: () => Promise<readonly Shot[]>): Promise<readonly Shot[]> {
  let shots = await read();
  for (const shot of shots) {
    if (shot.stage === "expected" && (await shelf.draft(bytesKey(shot.id)))) {
      shots = roll(shots, { do: "keep", id: shot.id, ready: false });
      await shelf.keepDraft(rollKey, shots);
    }
  }
  return shots;
}

