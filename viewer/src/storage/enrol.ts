// Who the phone is to the server, and whether what is stored is all that it ever stored.

import type { Asking, Self, StorageError } from "./store.ts";
import { request, type Connection } from "./connection.ts";
import { Counted } from "./counters.ts";
import type { Highest } from "./highwater.ts";
import { relabelAll } from "./relabel.ts";
import { afterTold } from "./properties.ts";
import type { SelfRow, Counters } from "./schema.ts";
import type { InBackup } from "./backuprecords.ts";
import { restore, restoredTables } from "./restore.ts";
import { behind, gone } from "./errors.ts";
import { newID } from "../base/uuid.ts";

/** What was asked for and is not granted yet. */
export async function askedIn(db: Connection): Promise<Asking | null> {
  const asked = await db.read((open) => open.get("selves", "asked"));
  return asked?.code === undefined ? null : { code: asked.code, device: asked.device, token: asked.token };
}

/**
 * What to ask with: the same for the same code, as the server may have granted it to this phone already.
 * Who the phone was is proved, also by the backup: its unsent entries carry that one's name.
 */
export function asking(db: Connection, code: string, again: boolean, backedUp: Self | null): Promise<Asking> {
  return db.write(["selves"], async (tx) => {
    const [before, self] = await Promise.all([tx.objectStore("selves").get("asked"), tx.objectStore("selves").get("self")]);
    const was = self ?? backedUp,
      former = was && { former: { device: was.device, token: was.token } };
    if (before?.code === code) return { code, device: before.device, token: before.token, ...former };
    if (self && !again) return { code, device: self.device, token: self.token };
    const now = { code, device: newID(), token: newToken(), ...former };
    request(tx.objectStore("selves").put({ code, device: now.device, token: now.token, author: "", properties: [] }, "asked"));
    return now;
  });
}

/** A secret of 256 random bits. */
function newToken(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(32)), (b) => b.toString(16).padStart(2, "0")).join("");
}

/**
 * Keeps who the phone is. Properties that it had and that were not granted now stay on it.
 * What is unsent goes over to a new device id in the same
 * transaction, and with it what the database has lost and the backup has kept.
 */
export function enrol(db: Connection, self: Self, backedUp: InBackup | null): Promise<void> {
  return db.write(["selves", ...restoredTables], async (tx) => {
    const before = await tx.objectStore("selves").get("self");
    if (before?.device !== self.device) {
      const counted = await Counted.in(tx);
      if (backedUp) await restore(counted, backedUp);
      await relabelAll(counted, self.device);
      counted.close();
    }
    const { device, token, author } = self;
    const properties = afterTold(before?.properties ?? backedUp?.self?.properties ?? [], self.properties, true);
    request(tx.objectStore("selves").put({ device, token, author, properties, ...(before?.opened && { opened: before.opened }) }, "self"));
    request(tx.objectStore("selves").delete("asked"));
  });
}

/** Compares the database with how far the phone had counted, by what lies outside of it, when it was read. */
export function troubleIn(highest: Highest, self: SelfRow | null, { seqs }: Counters): StorageError | null {
  if (!self) return Object.keys(highest).length > 0 ? gone() : null;
  const less = Object.entries(highest[self.device] ?? {}).some(([property, seq]) => (seqs[property] ?? 0) < seq);
  return less ? behind() : null;
}
