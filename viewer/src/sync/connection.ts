// One connection to the server. What is asked is answered in the order of asking, so
// questions may follow each other without waiting. A dead link tells a page nothing, so
// the page asks something from time to time and gives up when no answer comes.

import { decode, encode, version, type Answering, type Frame, type Later, type Sent, type Welcome } from "./frames.ts";
import { ConnectionLost, refusal } from "./errors.ts";

// How long silence may last before it is probed, and then how long for an answer.
const probeBusyMS = 10_000; // while photos are sent
const probeIdleMS = 30_000;
const patienceMS = 10_000;
const patienceBusyMS = 30_000; // photos fill the line then, and answers come late
const doubtMS = 4_000; // the same, when there is reason to doubt
const tickMS = 1_000;
const sleptMS = 5_000; // between two ticks: the phone slept, and nothing can be said of the time between

/** What a page has of a WebSocket. */
export type Socket = Pick<WebSocket, "send" | "close" | "bufferedAmount" | "readyState" | "onopen" | "onmessage" | "onclose">;

export interface Dialling {
  readonly address: string; // "wss://…/sync"
  readonly token: string;
  readonly device: string;
  readonly socket?: (address: string) => Socket; // a WebSocket
  /** Whether photos are being sent beside this. */
  readonly busy?: () => boolean;
}

/** The frames that answer one question, in order. */
export class Answer {
  #frames: Answering[] = [];
  #failed: Error | null = null;
  #waiting: { resolve: (f: Answering) => void; reject: (e: Error) => void } | null = null;

  next(): Promise<Answering> {
    const frame = this.#frames.shift();
    if (frame) return Promise.resolve(frame);
    if (this.#failed) return Promise.reject(this.#failed);
    return new Promise((resolve, reject) => (this.#waiting = { resolve, reject }));
  }

  put(frame: Answering): void {
    if (this.#waiting) this.#waiting.resolve(frame);
    else this.#frames.push(frame);
    this.#waiting = null;
  }

  fail(e: Error): void {
    this.#failed = e;
    this.#waiting?.reject(e);
    this.#waiting = null;
  }
}

export class Connection {
  /** By property, up to where the server says it has grown, until somebody pulls it. */
  readonly hinted = new Map<string, number>();
  /** Photos that the server does not have, until somebody takes note. */
  wanted: readonly string[] = [];
  later: Later | null = null;
  welcome!: Welcome;
  /** This phone's clock less the server's when they greeted. */
  clockOffMS = 0;
  onnews: () => void = () => undefined; // a hint came, a sign of life, or the end
  ended: Error | null = null;

  readonly #socket: Socket;
  readonly #busy: () => boolean;
  readonly #asked: Answer[] = [];
  #pushes = 0;
  #heardMS = performance.now(); // when a frame last came
  #aliveMS = performance.now(); // when the other end last gave a sign, or was first asked since
  #tickedMS = performance.now();
  #buffered = 0;
  #ticking: ReturnType<typeof setInterval>;
  #greeted: ((w: Welcome) => void) | null = null;
  #gone: (e: Error) => void = () => undefined;

  private constructor(socket: Socket, busy: () => boolean) {
    this.#socket = socket;
    this.#busy = busy;
    this.#ticking = setInterval(() => this.#tick(), tickMS);
  }

  /** Connects and is welcomed, or throws ConnectionLost or Refusal. */
  static open(to: Dialling): Promise<Connection> {
    const socket = to.socket?.(to.address) ?? new WebSocket(to.address);
    const connection = new Connection(socket, to.busy ?? (() => false));
    return new Promise((resolve, reject) => {
      let saidMS = 0;
      const late = setTimeout(() => connection.#end(new ConnectionLost("the server did not answer", false)), patienceMS);
      connection.#gone = (why) => {
        clearTimeout(late);
        reject(why);
      };
      connection.#greeted = (welcome) => {
        clearTimeout(late);
        connection.welcome = welcome;
        connection.clockOffMS = (saidMS + Date.now()) / 2 - welcome.clockMS;
        resolve(connection);
      };
      socket.onopen = () => {
        saidMS = Date.now();
        socket.send(encode({ type: "hello", version, token: to.token, device: to.device, clockMS: saidMS }));
      };
      socket.onmessage = (event: MessageEvent<unknown>) => connection.#hear(event.data);
      socket.onclose = (event: CloseEvent) =>
        connection.#end(
          new ConnectionLost(
            event.reason || `the connection was closed (${event.code})`,
            connection.welcome !== undefined && goneCodes.includes(event.code),
          ),
        );
    });
  }

  ask(question: Exclude<Sent, { type: "hello" | "push" }>): Answer {
    return this.#ask(question);
  }

  push(property: string, entries: readonly string[]): Answer {
    return this.#ask({ type: "push", push: ++this.#pushes, property, entries });
  }

  /** How long ago the server last said something. */
  get silentMS(): number {
    return performance.now() - this.#heardMS;
  }

  /** Asks for a sign of life. */
  probe(): void {
    if (this.#asked.length > 0) return; // an answer is due anyway
    this.ask({ type: "missing", property: this.welcome.properties[0] ?? "", ids: [] })
      .next()
      .then(
        () => this.onnews(),
        () => undefined,
      );
  }

  /**
   * There is reason to doubt the link: signal came back, the page is in sight again, or the
   * officer asks. What has been silent for a while is given up sooner: a new connection gets
   * through before an old one that waits for longer and longer to send again.
   */
  doubt(): void {
    const waits = this.#asked.length > 0 && performance.now() - this.#aliveMS > doubtMS;
    if (waits && !this.#busy()) this.#end(new ConnectionLost("the link has gone silent", false));
    else this.probe();
  }

  /** Ends the connection for a reason found elsewhere. */
  fail(why: Error): void {
    this.#end(why);
  }

  hangUp(): void {
    this.#end(new ConnectionLost("this phone hung up", false));
  }

  #ask(question: Sent): Answer {
    const answer = new Answer();
    if (this.ended) {
      answer.fail(this.ended);
      return answer;
    }
    if (this.#asked.length === 0) this.#aliveMS = performance.now();
    this.#asked.push(answer);
    if (this.#socket.readyState <= WebSocket.OPEN) this.#socket.send(encode(question)); // else its end is about to be told
    return answer;
  }

  #hear(data: unknown): void {
    this.#heardMS = this.#aliveMS = performance.now();
    let frame: Frame;
    try {
      frame = decode(String(data));
    } catch (e) {
      return this.#end(new ConnectionLost(`the server cannot be understood: ${e instanceof Error ? e.message : e}`, false));
    }
    if (!frame) return; // of a newer version, and may be passed over
    switch (frame.type) {
      case "welcome":
        this.#greeted?.(frame);
        this.#greeted = null;
        return;
      case "hint":
        this.hinted.set(frame.property, Math.max(frame.n, this.hinted.get(frame.property) ?? 0));
        return this.onnews();
      case "wanted":
        this.wanted = [...this.wanted, ...frame.photos];
        return this.onnews();
      case "later":
        this.later = frame;
        return;
      case "problem":
        if (frame.closing || this.#asked.length === 0) return this.#end(refusal(frame));
    }
    const last = frame.type !== "page" || !frame.more;
    const answer = last ? this.#asked.shift() : this.#asked[0];
    if (!answer) return this.#end(new ConnectionLost("the server answered what was not asked", false));
    answer.put(frame);
  }

  #tick(): void {
    const now = performance.now();
    const slept = now - this.#tickedMS > sleptMS;
    this.#tickedMS = now;
    const draining = this.#socket.bufferedAmount < this.#buffered;
    this.#buffered = this.#socket.bufferedAmount;
    if (slept || draining) this.#aliveMS = now;
    if (!this.welcome) return; // opening has its own deadline
    const silentMS = now - this.#aliveMS;
    if (this.#asked.length > 0) {
      if (silentMS > (this.#busy() ? patienceBusyMS : patienceMS)) this.#end(new ConnectionLost("the link has gone silent", false));
    } else if (document.visibilityState === "hidden" && !this.#busy()) {
      return; // nobody looks: the server's own pings keep the line
    } else if (slept || silentMS > (this.#busy() ? probeBusyMS : probeIdleMS)) {
      this.probe();
    }
  }

  #end(why: Error): void {
    if (this.ended) return;
    this.ended = why;
    clearInterval(this.#ticking);
    this.#socket.onopen = this.#socket.onmessage = this.#socket.onclose = null;
    this.#socket.close();
    for (const answer of this.#asked.splice(0)) answer.fail(why);
    this.#gone(why);
    this.onnews();
  }
}

// The server went away (1001), broke off without a word (1006), or is being restarted (1012).
const goneCodes: readonly number[] = [1001, 1006, 1012];
