// Sends a property's outbox, several frames at a time, and takes the receipts. Only a
// receipt takes an entry out of the outbox.

import type { Outbox, Receipt } from "../storage/store.ts";
import type { Load } from "./frames.ts";
import type { Answer, Connection } from "./connection.ts";
import { cloned, ConnectionLost, refusal } from "./errors.ts";

const utf8 = new TextEncoder();

type Waiting = { readonly id: string; readonly text: string };

interface Flying {
  readonly answer: Answer;
  readonly sent: readonly Waiting[];
  readonly bytes: number;
}

export interface Pushed {
  readonly answered: boolean; // the server took or refused something
  /** The server lacks an entry of this phone that comes before one it has just taken. */
  readonly gap: boolean;
}

/**
 * Returns when every entry of the outbox has its receipt. It never has more unanswered than
 * the server allows. each is called after each frame's receipts are kept.
 */
export async function push(connection: Connection, outbox: Outbox, property: string, load: Load, each: () => void): Promise<Pushed> {
  const flying: Flying[] = [];
  const out = new Set<string>(); // sent, in this push, and not to be sent twice in it
  let answered = false,
    gap = false,
    isCloned = false;
  try {
    for (;;) {
      await fill();
      const first = flying.shift();
      if (!first) break;
      const frame = await first.answer.next();
      if (frame.type === "problem") throw refusal(frame);
      if (frame.type !== "receipts") throw new ConnectionLost("the server answered a push with something else", false);
      const receipts = matched(frame.receipts, first.sent);
      await outbox.settle(property, receipts);
      answered = true;
      load.through();
      isCloned ||= receipts.some((r) => r.cloned);
      gap ||= receipts.some((r, i) => r.n !== undefined && r.highSeq < seqOf(first.sent[i]!.text));
      each();
    }
  } catch (e) {
    if (!answered && e instanceof ConnectionLost) load.broke();
    throw e;
  }
  if (isCloned) throw cloned();
  return { answered, gap };

  /** Sends frames for as long as the server's limits allow. */
  async function fill(): Promise<void> {
    const { entries, bytes } = connection.welcome.limits;
    const used = flying.reduce((sum, f) => ({ entries: sum.entries + f.sent.length, bytes: sum.bytes + f.bytes }), {
      entries: 0,
      bytes: 0,
    });
    if (flying.length > 0 && used.entries + load.entries > entries) return; // a whole frame, or the line fills with small ones
    const ready = await outbox.waiting(property, entries - used.entries, bytes - used.bytes, out);
    for (let i = 0; i < ready.length; i += load.entries) {
      const sent = ready.slice(i, i + load.entries);
      for (const w of sent) out.add(w.id);
      const bytes = sent.reduce((sum, w) => sum + utf8.encode(w.text).length + 1, 0);
      flying.push({
        answer: connection.push(
          property,
          sent.map((w) => w.text),
        ),
        sent,
        bytes,
      });
    }
  }
}

/** The receipts under the ids of what was sent, which a server that could not read an entry does not know. */
function matched(receipts: readonly Receipt[], sent: readonly Waiting[]): Receipt[] {
  if (receipts.length !== sent.length) throw new ConnectionLost("the server sent receipts for something else", false);
  return receipts.map((r, i) => {
    const { id } = sent[i]!;
    if (r.id !== id && !r.refused) throw new ConnectionLost("the server sent a receipt for something else", false);
    return { ...r, id };
  });
}

const seqOf = (text: string): number => (JSON.parse(text) as { deviceSeq: number }).deviceSeq;
