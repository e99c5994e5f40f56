// Offers again what the server has lost, as after it was restored from a backup.

import type { Outbox } from "../storage/store.ts";
import { idsAtMost } from "./frames.ts";
import type { Connection } from "./connection.ts";
import { ConnectionLost, refusal } from "./errors.ts";

/**
 * Asks which of this phone's own entries the server lacks, and has the outbox hold those
 * and no others. It may be broken off and started again.
 */
export async function offerAgain(connection: Connection, outbox: Outbox, property: string): Promise<void> {
  await offer(connection, outbox, property, await outbox.acknowledged(property));
  await outbox.resendDone(property);
}

/** The same of some of its entries. */
export async function offer(connection: Connection, outbox: Outbox, property: string, own: readonly string[]): Promise<void> {
  for (let i = 0; i < own.length; i += idsAtMost) {
    const ids = own.slice(i, i + idsAtMost);
    const frame = await connection.ask({ type: "missing", property, ids }).next();
    if (frame.type === "problem") throw refusal(frame);
    if (frame.type !== "lacks") throw new ConnectionLost("the server did not answer what it lacks", false);
    await outbox.offerAgain(property, frame.ids, ids);
  }
}

/**
 * Whether to ask before sending: after a fork or a new device id, and when this phone has
 * sent entries but never fetched, so that nothing would tell it of a restore.
 */
export async function isInDoubt(outbox: Outbox, property: string): Promise<boolean> {
  if (await outbox.resendDue(property)) return true;
  if (await outbox.position(property)) return false;
  const [own, waiting] = await Promise.all([outbox.acknowledged(property), outbox.waiting(property, Infinity, Infinity)]);
  return own.length > waiting.length;
}
