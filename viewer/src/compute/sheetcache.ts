// Keeps the figures of a property's features up to date in the computations' worker, which is given
// only what changed since it was last asked.

import type { Feature } from "../base/entry.ts";
import { notHere, type WorkerModel } from "./model.ts";
import type { LongSection, Sheet, Sheets, SheetsAnswer } from "./sheets.ts";

/** Gives the model only what changed since it was last given something. */
export class SheetCache implements Sheets {
  #property = "";
  #ended = 0; // of the model's workers
  #known = new Map<string, string>();
  #last: Promise<unknown> = Promise.resolve();

  constructor(private readonly model: Pick<WorkerModel, "sheets" | "ended">) {}

  async of(property: string, features: readonly Feature[], id: string): Promise<Sheet | undefined> {
    return (await this.#inTurn(property, features, { of: [id] })).sheets[id];
  }

  async sections(property: string, features: readonly Feature[]): Promise<readonly LongSection[]> {
    return (await this.#inTurn(property, features, { sections: true })).sections ?? [];
  }

  #inTurn(property: string, features: readonly Feature[], wanted: object): Promise<SheetsAnswer> {
    const next = this.#last.then(async () => {
      const answer = (await this.#ask(property, features, wanted)) ?? (await this.#ask(property, features, wanted));
      if (!answer) throw notHere();
      return answer;
    });
    this.#last = next.catch(() => {});
    return next;
  }

  async #ask(property: string, features: readonly Feature[], wanted: object) {
    const { ended } = this.model;
    if (property !== this.#property || ended !== this.#ended) {
      [this.#property, this.#ended, this.#known] = [property, ended, new Map<string, string>()];
    }
    const news = features.filter((f) => this.#known.get(f.id) !== mark(f));
    const put = news.map((f) => ({ id: f.id, fields: f.fields, ...(f.struck ? { struck: true } : {}) }));
    const answer = await this.model.sheets({ property, put, ...wanted });
    if (ended === this.model.ended) for (const f of news) this.#known.set(f.id, mark(f));
    return answer;
  }
}

/** Changes whenever a feature does: each device's count of entries about it grows. */
const mark = (f: Feature): string => `${f.stamp} ${JSON.stringify(f.saw)} ${f.unsent}`;
