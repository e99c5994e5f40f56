// The computations, in a worker so that a long one holds up no tap. They load once the
// first screen is there; what waits for them is answered then, and nothing recorded waits.

import type { Feature } from "../entry.ts";
import type { Model, Problem } from "../field.ts";
import { loadInWorker, type RemoteComputations } from "../../../wasm/remote.ts";
import type { Answer } from "../../../wasm/compute.ts";
import type { Types } from "../../../wasm/types.ts";
import type { Folded, Unfolded } from "../shelf/fold.ts";
import type { Sheet, Sheets } from "./parts.ts";

/** Answers from the wasm build of package model. */
export class WorkerModel implements Model {
  #loading: Promise<RemoteComputations> | undefined;

  async ready(): Promise<void> {
    await this.#remote();
  }

  async compute<T>(name: string, input: unknown): Promise<T> {
    const remote = await this.#remote();
    return answered(await remote.compute(name as keyof Types, input as Types[keyof Types]["input"])) as T;
  }

  /** Folds features from all their entries, by the register's own rule. */
  async gather(features: readonly Unfolded[]): Promise<readonly Folded[]> {
    const remote = await this.#remote();
    return (answered(await remote.gather({ features })) as { features: readonly Folded[] }).features;
  }

  /** What is worked out about features of a property; see package handset. */
  async sheets(question: object): Promise<{ readonly sheets: { readonly [feature: string]: Sheet } }> {
    const remote = await this.#remote();
    return answered(await remote.sheets(question)) as { sheets: { [feature: string]: Sheet } };
  }

  /** Starts the program, once; a failure is forgotten, so that the next call tries again. */
  #remote(): Promise<RemoteComputations> {
    this.#loading ??= loadInWorker().catch(() => {
      this.#loading = undefined;
      throw { reason: "The computations are not on this phone yet.", fix: "Open the page once where there is signal. What is recorded is safe." } satisfies Problem;
    });
    return this.#loading;
  }
}

function answered(answer: Answer): unknown {
  if (!answer.ok) throw answer.problem;
  return answer.output;
}

/** Tells the model only what changed since it was last told. */
export class KeptSheets implements Sheets {
  #property = "";
  #known = new Map<string, string>();
  #last: Promise<unknown> = Promise.resolve();

  constructor(private readonly model: Pick<WorkerModel, "sheets">) {}

  of(property: string, features: readonly Feature[], id: string): Promise<Sheet | undefined> {
    const next = this.#last.then(() => this.#ask(property, features, id));
    this.#last = next.catch(() => {});
    return next;
  }

  async #ask(property: string, features: readonly Feature[], id: string): Promise<Sheet | undefined> {
    if (property !== this.#property) [this.#property, this.#known] = [property, new Map<string, string>()];
    const news = features.filter((f) => this.#known.get(f.id) !== mark(f));
    const put = news.map((f) => ({ id: f.id, fields: f.fields, ...(f.struck ? { struck: true } : {}) }));
    const answer = await this.model.sheets({ property, put, of: [id] });
    for (const f of news) this.#known.set(f.id, mark(f));
    return answer.sheets[id];
  }
}

/** Changes whenever a feature does: each device's count of entries about it grows. */
const mark = (f: Feature): string => `${f.stamp} ${JSON.stringify(f.saw)} ${f.unsent}`;
