// Time for tests of a whole page: it stands still while the page works, and passes only when a
// test waits for something. No test of a page depends then on how fast the machine is.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "./globals.test.ts";

interface Timer {
  readonly dueMS: number;
  readonly everyMS?: number;
  readonly run: () => void;
}

const turn = setImmediate; // of the real event loop
const mostTurns = 20_000; // a page that is still at work then goes round in circles

export class Clock {
  /** Milliseconds since 1970: at first nine in the morning of a Monday, where the machine is. */
  nowMS = new Date(2026, 5, 1, 9).getTime();
  readonly #timers = new Map<number, Timer>();
  #given = 0;
  #working = 0; // what the page has begun that ends by itself
  #ended = false;

  /** What scripts know the time by, and what they set off in time. */
  get globals() {
    const set = (run: () => void, ms: number, everyMS?: number): number => {
      if (!this.#ended)
        this.#timers.set(++this.#given, { dueMS: this.nowMS + Math.max(0, ms), run, ...(everyMS !== undefined && { everyMS }) });
      return this.#given;
    };
    const clear = (timer: number | undefined) => void this.#timers.delete(timer ?? 0);
    return {
      setTimeout: (run: (...args: unknown[]) => void, ms = 0, ...args: unknown[]) => set(() => run(...args), ms),
      clearTimeout: clear,
      setInterval: (run: () => void, ms: number) => set(run, ms, Math.max(1, ms)),
      clearInterval: clear,
      requestAnimationFrame: (draw: (ms: number) => void) => set(() => draw(this.nowMS), 16),
      cancelAnimationFrame: clear,
      setImmediate: (run: (...args: unknown[]) => void, ...args: unknown[]) => {
        this.#working++;
        turn(() => {
          this.#working--;
          run(...args);
        });
      },
      performance: { timeOrigin: 0, now: () => this.nowMS, mark: () => undefined },
      Date: new Proxy(Date, {
        construct: (real, args: []) => (args.length > 0 ? new real(...args) : new real(this.nowMS)),
        get: (real, name) => (name === "now" ? () => this.nowMS : Reflect.get(real, name)),
      }),
      crypto: {
        getRandomValues: crypto.getRandomValues.bind(crypto),
        randomUUID: crypto.randomUUID.bind(crypto),
        subtle: new Proxy(crypto.subtle, {
          // other threads work these out: time stands until they have
          get:
            (real, name) =>
            (...args: unknown[]) =>
              this.meanwhile((real as unknown as { [name: string | symbol]: (...args: unknown[]) => Promise<unknown> })[name]!(...args)),
        }),
      },
    };
  }

  /** How many clocks go on until they are stopped. */
  get ticking(): number {
    return [...this.#timers.values()].filter(({ everyMS }) => everyMS !== undefined).length;
  }

  /** Time stands until this has ended. */
  async meanwhile<T>(work: Promise<T>): Promise<T> {
    this.#working++;
    try {
      return await work;
    } finally {
      this.#working--;
    }
  }

  /** Waits until everything is done that needs no time to pass. */
  async settle(): Promise<void> {
    for (let turns = 0, quiet = 0; quiet < 3; quiet = this.#working > 0 ? 0 : quiet + 1) {
      await new Promise((go) => turn(go));
      if (++turns > mostTurns && this.#working === 0) return;
      if (turns > mostTurns * 100) throw new Error("the page never comes to rest");
    }
  }

  /** Lets time pass, and everything happen that is due in it. */
  async pass(ms: number): Promise<void> {
    const toMS = this.nowMS + ms;
    await this.settle();
    while (await this.next(toMS));
    this.nowMS = toMS;
  }

  /** Lets time pass to what is due next, and that happen; false where nothing is due until then. */
  async next(untilMS: number): Promise<boolean> {
    let id = 0,
      first: Timer | undefined;
    for (const [of, timer] of this.#timers) if (!first || timer.dueMS < first.dueMS) [id, first] = [of, timer];
    if (!first || first.dueMS > untilMS) return false;
    this.nowMS = Math.max(this.nowMS, first.dueMS);
    if (first.everyMS === undefined) this.#timers.delete(id);
    else this.#timers.set(id, { ...first, dueMS: first.dueMS + first.everyMS });
    first.run();
    await this.settle();
    return true;
  }

  /** Nothing is due any more, nor ever will be. What was begun comes to its end. */
  async end(): Promise<void> {
    this.#ended = true;
    this.#timers.clear();
    await this.settle();
  }
}

test("a clock of tests passes when it is let, and everything happens in its order", async () => {
  const clock = new Clock();
  const began = clock.nowMS;
  const done: string[] = [];
  await withGlobals(clock.globals, async () => {
    setTimeout(() => done.push(`later at ${Date.now() - began}`), 1000);
    setTimeout(() => {
      done.push("soon");
      setTimeout(() => done.push("then"), 500);
    }, 100);
    clearTimeout(setTimeout(() => done.push("never"), 200));
    const tick = setInterval(() => done.push(`tick at ${performance.now() - began}`), 400);
    await clock.pass(99);
    assert.deepEqual(done, []);
    await clock.pass(901);
    assert.deepEqual(done, ["soon", "tick at 400", "then", "tick at 800", "later at 1000"]);
    assert.equal(Date.now() - began, 1000);
    assert.ok(new Date() instanceof Date && new Date(0).getTime() === 0);
    clearInterval(tick);
    await clock.pass(10_000);
    assert.equal(done.length, 5);
  });
});

test("what works without waiting is done before time passes, and an ended clock lets nothing happen", async () => {
  const clock = new Clock();
  const done: string[] = [];
  await withGlobals(clock.globals, async () => {
    setTimeout(() => done.push("due"));
    void crypto.subtle.digest("SHA-256", new Uint8Array(1_000_000)).then(() => done.push("digest"));
    setImmediate(() => setImmediate(() => done.push("turn")));
    await clock.pass(1);
    assert.deepEqual([...done].sort(), ["digest", "due", "turn"]);
    assert.equal(done[2], "due");
    setTimeout(() => done.push("lost"));
    await clock.end();
    setTimeout(() => done.push("lost too"));
    await clock.pass(1000);
    assert.equal(done.length, 3);
  });
});
