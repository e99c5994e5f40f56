// The sender's side of the store.

import type { Feature } from "../base/entry.ts";
import type { Outbox, Property } from "./store.ts";
import { fork, offerAgain, resendDone, resendDue } from "./fork.ts";
import { apply, position } from "./apply.ts";
import type { Connection } from "./connection.ts";
import type { Gather } from "../compute/fold.ts";
import { photoSent, photosWaiting, photosWanted } from "./photos.ts";
import { own, settle, unreturned, waiting } from "./sent.ts";

/** What the outbox needs of its store. */
export interface Around {
  readonly db: Connection;
  readonly gather: Gather;
  reading<T>(job: () => Promise<T>): Promise<T>;
  writing<T>(job: () => Promise<T>): Promise<T>; // refused when another page records
  changed(features: readonly Feature[]): void;
  told(about: readonly Property[], all: boolean): Promise<void>; // what the server says of properties
  cloned(): Promise<void>; // another phone writes under the same id
  again(): void; // entries wait again, and may have got other device ids
  room(): Promise<void>; // there may be more room now
  notYet(entry: string): boolean; // whether it is not to be sent yet
  sent(entries: readonly string[], photos: readonly string[]): void; // the server has them
}

export function outboxOf({ db, gather, reading, writing, changed, told, cloned, again, room, notYet, sent }: Around): Outbox {
  const changing = (job: () => Promise<readonly Feature[]>) => writing(async () => changed(await job()));
  return {
    told,
    waiting: (property, atMost, atMostBytes, skip = new Set<string>()) =>
      reading(() => waiting(db, property, atMost, atMostBytes, skip, notYet)),
    settle: async (_, receipts) => {
      await changing(() => settle(db, receipts));
      sent(
        receipts.filter((r) => !r.cloned && !r.refused).map((r) => r.id),
        [],
      );
      if (receipts.some((r) => r.cloned)) await cloned();
    },
    position: (property) => reading(() => position(db, property)),
    apply: (property, pages) => changing(() => apply(db, property, pages, gather)),
    fork: async (property, marks) => {
      await writing(() => fork(db, property, marks));
      changed([]); // photos wait again
      again();
    },
    resendDue: (property) => reading(() => resendDue(db, property)),
    resendDone: (property) => writing(() => resendDone(db, property)),
    acknowledged: (property) => reading(() => own(db, property)),
    unreturned: (property) => reading(() => unreturned(db, property)),
    offerAgain: async (_, lacking, asked = []) => {
      await changing(() => offerAgain(db, lacking, asked));
      again();
    },
    photosWaiting: () => reading(() => photosWaiting(db)),
    photoSent: (sha) =>
      writing(async () => {
        await photoSent(db, sha);
        sent([], [sha]);
        await room().catch(() => undefined); // tried again with the next photo
        changed([]);
      }),
    photosWanted: async (shas) => {
      await writing(() => photosWanted(db, shas));
      changed([]);
      again();
    },
    all: () => reading(async () => ({ entries: await unsent(db), photos: await photosWaiting(db) })),
  };
}

/** Every entry that the server has not acknowledged, in the order of capture; those it refused too. */
function unsent(db: Connection): Promise<{ property: string; text: string }[]> {
  return db.read(async (open) => {
    const [waits, refused] = await Promise.all([open.getAllFromIndex("entries", "waiting"), open.getAllFromIndex("entries", "refused")]);
    const place = (e: { mine?: [string, number] }) => e.mine?.[1] ?? 0;
    return [...waits, ...refused].sort((a, b) => place(a) - place(b)).map(({ property, text }) => ({ property, text }));
  });
}
