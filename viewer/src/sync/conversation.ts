// What is said on one connection: what is captured goes out at once, and what others
// captured comes in. Sending never waits for what comes in to be folded.

import type { Outbox, Property } from "../storage/store.ts";
import { isInDoubt, offer, offerAgain } from "./resend.ts";
import type { Load } from "./frames.ts";
import { pull } from "./pull.ts";
import { push } from "./push.ts";
import type { Connection } from "./connection.ts";
import { ConnectionLost, Refusal, refusal } from "./errors.ts";

export interface Listening {
  acknowledged(): void; // receipts were kept
  fetched(property: string, n: number, last: number): void; // the register came in up to n, of last
  /** Whether the server refused an entry once: its number is missing there for ever. */
  refusedSome(): Promise<boolean>;
}

export class Conversation {
  /** By property, why the server did not take something that it may take later. */
  readonly untaken = new Map<string, unknown>();
  /** By property, why what came in could not be kept here. */
  readonly unkept = new Map<string, unknown>();
  #toPull: Set<string>;
  #sending: Promise<unknown> = Promise.resolve();
  #fetching: Promise<void> | null = null;
  #failed: Error | null = null;
  readonly #given: Set<string>; // properties that this phone has a right to
  readonly #checked = new Set<string>(); // properties whose own entries were compared with the register's
  readonly #returned = new Set<string>(); // properties of which all was fetched

  constructor(
    readonly connection: Connection,
    readonly outbox: Outbox,
    readonly load: Load,
    readonly known: () => readonly Property[],
    readonly listening: Listening,
    readonly ring: () => void,
  ) {
    this.#toPull = new Set(connection.welcome.properties);
    this.#given = new Set(connection.welcome.properties);
  }

  /** Sends all that is unsent, and begins to fetch what is new. Throws when the connection is of no use any more. */
  async goOn(): Promise<void> {
    if (this.#failed) throw this.#failed;
    for (const property of new Set([...this.#given, ...this.known().map((p) => p.id)])) await this.#send(property);
    if (this.connection.ended) throw this.connection.ended;
    for (const property of this.connection.hinted.keys()) this.#toPull.add(property);
    if (this.#toPull.size > 0) this.#fetching ??= this.#fetch();
  }

  /** Has what failed tried again by the next goOn; sending is tried by each. */
  tryAgain(): void {
    for (const property of this.unkept.keys()) this.#toPull.add(property);
  }

  /** Whether nothing is being fetched. */
  get fetchedAll(): boolean {
    return this.#fetching === null && this.#toPull.size === 0;
  }

  /** Resolves when no entries are on their way. */
  entriesFirst(): Promise<unknown> {
    return this.#sending;
  }

  /** One property after the other, and never the same twice at a time. */
  #send(property: string): Promise<void> {
    const sent = this.#sending.then(() => this.#complaining(this.untaken, property, () => this.#sendNow(property)));
    this.#sending = sent.catch(() => undefined);
    return sent;
  }

  async #sendNow(property: string): Promise<void> {
    const { connection, outbox, load, listening } = this;
    await this.#begin(property);
    if (!this.#checked.has(property) && (await isInDoubt(outbox, property))) {
      this.#checked.add(property);
      await offerAgain(connection, outbox, property);
    }
    const pushed = await push(connection, outbox, property, load, listening.acknowledged);
    if (pushed.answered) this.#toPull.add(property); // its own entries come back with their numbers
    if (!pushed.gap || this.#checked.has(property) || (await listening.refusedSome())) return;
    this.#checked.add(property);
    await offerAgain(connection, outbox, property); // what it lacks waits again: the store tells, and it goes
  }

  /** Has the server make a property that was begun here: again after it was restored from an older copy. */
  async #begin(property: string): Promise<void> {
    const begun = this.known().find((p) => p.id === property && p.begun);
    if (!begun || this.#given.has(property)) return;
    if (this.connection.welcome.version < 2) {
      throw new Refusal(
        {
          path: "property",
          reason: "the server is too old to take a property that was begun on a phone",
          fix: "Ask the office to update it. What is recorded stays on this phone",
        },
        false,
      );
    }
    const answer = await this.connection.ask({ type: "begin", property, name: begun.name }).next();
    if (answer.type === "problem") throw refusal(answer);
    if (answer.type !== "begun") throw new ConnectionLost("the server answered a begin with something else", false);
    this.#given.add(property);
    await this.outbox.told([answer.property], false).catch(() => undefined); // a full phone learns of it at its next connection
  }

  async #fetch(): Promise<void> {
    try {
      for (const property of this.#toPull) {
        this.#toPull.delete(property);
        this.connection.hinted.delete(property); // the pull sees all that was hinted at so far
        await this.#complaining(this.unkept, property, () => this.#fetchNow(property));
      }
    } catch (e) {
      this.#failed = e instanceof Error ? e : new Error(String(e));
    }
    this.#fetching = null;
    this.ring();
  }

  /**
   * When the server was restored from an older copy it goes back to where both are the same, and sends again.
   * Where this phone had not fetched beyond that copy's end, only what it had sent meanwhile tells: it does not come back.
   */
  async #fetchNow(property: string): Promise<void> {
    for (;;) {
      const sent = this.#returned.has(property) ? [] : await this.outbox.unreturned(property);
      const ended = await pull(this.connection, this.outbox, property, this.load, (n, last) => this.listening.fetched(property, n, last));
      if (ended === "moved") continue;
      if (!ended) {
        if (sent.length > 0) await this.#missed(property, new Set(sent));
        this.#returned.add(property);
        return;
      }
      await this.outbox.fork(property, ended.marks);
      this.#checked.delete(property); // the fork raised the doubt
      await this.#send(property);
    }
  }

  /** Offers again what was sent before all was fetched, and was not among it. */
  async #missed(property: string, sent: ReadonlySet<string>): Promise<void> {
    const missed = (await this.outbox.unreturned(property)).filter((id) => sent.has(id));
    await offer(this.connection, this.outbox, property, missed);
    await this.#send(property);
  }

  /** What one property has to complain of holds back neither the others nor the other way. */
  async #complaining(complaints: Map<string, unknown>, property: string, job: () => Promise<void>): Promise<void> {
    try {
      await job();
      complaints.delete(property);
    } catch (e) {
      if (e instanceof ConnectionLost || (e instanceof Refusal && e.closing)) throw e;
      complaints.set(property, e);
    }
  }
}
