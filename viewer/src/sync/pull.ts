// Fetches what is new of a property and gives it to the store.

import type { Outbox, Position, Pulled } from "../storage/store.ts";
import type { Forked, Load } from "./frames.ts";
import type { Connection } from "./connection.ts";
import { ConnectionLost, refusal } from "./errors.ts";

const applyEntries = 1000; // about how many go into one transaction

/**
 * Reads from the store's position to the register's end. What came before a cut is kept.
 * It gives a Forked when that position is not of the server's register, and "moved" when the
 * position has moved meanwhile, by what the connection before had still in hand. each is
 * called with the number of the last entry that came, and of the last that there is.
 */
export async function pull(
  connection: Connection,
  outbox: Outbox,
  property: string,
  load: Load,
  each: (n: number, last: number) => void,
): Promise<Forked | "moved" | null> {
  const at = await outbox.position(property);
  const answer = connection.ask({ type: "pull", property, ...(at && { at }), entries: load.entries });
  let pages: Pulled[] = [],
    entries = 0,
    through = false;
  let kept = at;
  /** false when the position has moved. */
  const keep = async (): Promise<boolean> => {
    const news = pages.filter((p) => p.entries.length > 0 || !same(p.at, at));
    pages = [];
    entries = 0;
    const last = news[news.length - 1];
    if (!last) return true;
    try {
      await outbox.apply(property, news);
    } catch (e) {
      const now = await outbox.position(property);
      if (now?.n === kept?.n && now?.hash === kept?.hash) throw e;
      return false;
    }
    kept = last.at;
    return true;
  };
  for (;;) {
    let frame: Awaited<ReturnType<typeof answer.next>>;
    try {
      frame = await answer.next();
    } catch (e) {
      if (!through && e instanceof ConnectionLost) load.broke();
      await keep();
      throw e;
    }
    switch (frame.type) {
      case "page":
        if (!through) load.through();
        through = true;
        pages.push(frame);
        entries += frame.entries.length;
        each(frame.at.n, frame.last);
        if ((!frame.more || entries >= applyEntries) && !(await keep())) return "moved";
        if (!frame.more) return null;
        break;
      case "forked":
        return frame;
      case "problem":
        throw refusal(frame);
      default:
        throw new ConnectionLost("the server answered a pull with something else", false);
    }
  }
}

/** An empty page is news when it names another epoch. */
const same = (a: Position, b: Position | undefined): boolean => (b ? a.epoch === b.epoch && a.n === b.n : a.n === 0);
