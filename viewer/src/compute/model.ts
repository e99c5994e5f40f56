// The computations, in a worker so that a long one holds up no tap. They load once the
// first screen is there; what waits for them is answered then, and nothing recorded waits.

import { device } from "../base/page.ts";
import { loadInWorker, type RemoteComputations } from "./remote.ts";
import type { Answer } from "./compute.ts";
import type { Types } from "./types/index.ts";
import type { Folded, Unfolded } from "./fold.ts";
import { plainProblem, type Problem } from "../base/problem.ts";
import type { FollowUp } from "./followup.ts";
import type { Order } from "./order.ts";
import type { Outcome } from "./plan.ts";
import type { SheetsAnswer } from "./sheets.ts";

/** The computations of package model, from the wasm build: the server's own answers. */
export interface Model {
  compute<T>(name: string, input: unknown): Promise<T>; // rejects with Problem
  ready(): Promise<void>;
}

/** Answers from the wasm build of package model. */
export class WorkerModel implements Model {
  #loading: Promise<RemoteComputations> | undefined;
  #ended = 0;

  /** How many workers have ended: the next one has been given nothing yet. */
  get ended(): number {
    return this.#ended;
  }

  async ready(): Promise<void> {
    await this.#remote();
  }

  async compute<T>(name: string, input: unknown): Promise<T> {
    return answered(await this.#twice((remote) => remote.compute(name as keyof Types, input as Types[keyof Types]["input"]))) as T;
  }

  /** Folds features from all their entries, by the register's own rule. */
  async gather(features: readonly Unfolded[]): Promise<readonly Folded[]> {
    return (answered(await this.#twice((remote) => remote.gather({ features }))) as { features: readonly Folded[] }).features;
  }

  /** What is worked out about features of a property; see package phonecompute. Undefined when the worker that was given them has ended. */
  async sheets(question: object): Promise<SheetsAnswer | undefined> {
    const answer = await this.#once((remote) => remote.sheets(question));
    return answer && (answered(answer) as SheetsAnswer);
  }

  /** Works planned from what is recorded, likewise. */
  async plan(question: object): Promise<Outcome | undefined> {
    const answer = await this.#once((remote) => remote.plan(question));
    return answer && (answered(answer) as Outcome);
  }

  /** What to do first, likewise. */
  async order(question: object): Promise<Order | undefined> {
    const answer = await this.#once((remote) => remote.order(question));
    return answer && (answered(answer) as Order);
  }

  /** What came of the works, likewise. */
  async followUp(question: object): Promise<FollowUp | undefined> {
    const answer = await this.#once((remote) => remote.followUp(question));
    return answer && (answered(answer) as FollowUp);
  }

  /**
   * Asks, and asks another worker when the first is of no use any more. One that was started
   * before the page's files were on the phone may lack some; the next has them.
   */
  async #twice(ask: (remote: RemoteComputations) => Promise<Answer>): Promise<Answer> {
    const answer = (await this.#once(ask)) ?? (await this.#once(ask));
    if (!answer) throw notHere();
    return answer;
  }

  /** Undefined when the worker is of no use: it is let go then. */
  async #once(ask: (remote: RemoteComputations) => Promise<Answer>): Promise<Answer | undefined> {
    const loading = this.#remote(),
      remote = await loading;
    try {
      return await ask(remote);
    } catch {
      if (this.#loading === loading) {
        this.#loading = undefined;
        this.#ended++;
      }
      return undefined;
    }
  }

  /** Starts the program, once; a failure is forgotten, so that the next call tries again. */
  #remote(): Promise<RemoteComputations> {
    this.#loading ??= loadInWorker().catch(() => {
      this.#loading = undefined;
      throw notHere();
    });
    return this.#loading;
  }
}

export const notHere = (): Problem => ({
  reason: `The computations are not on this ${device} yet.`,
  fix: "Open the page once where there is signal. What is recorded is safe.",
});

function answered(answer: Answer): unknown {
  if (!answer.ok) throw plainProblem(answer.problem); // every screen asks through here
  return answer.output;
}
