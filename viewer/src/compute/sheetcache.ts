// Keeps the figures of a property's features up to date in the computations' worker, which is given
// only what changed since it was last asked, and plans and follows up works from them there.

import type { Feature } from "../base/entry.ts";
import { notHere, type WorkerModel } from "./model.ts";
import type { FollowUp, Years } from "./followup.ts";
import type { Order } from "./order.ts";
import type { BaseChange } from "./named.ts";
import type { Outcome, PlanRequest, Plans } from "./plan.ts";
import type { CrossSection, LongSection, Sheet, Sheets } from "./sheets.ts";

/** Gives the model only what changed since it was last given something. */
export class SheetCache implements Sheets, Plans {
  #property = "";
  #ended = 0; // of the model's workers
  #known = new Map<string, string>();
  #last: Promise<unknown> = Promise.resolve();

  constructor(private readonly model: Pick<WorkerModel, "sheets" | "plan" | "order" | "followUp" | "ended">) {}

  async of(property: string, features: readonly Feature[], id: string): Promise<Sheet | undefined> {
    return (await this.#sheets(property, features, { of: [id] })).sheets[id];
  }

  async sections(property: string, features: readonly Feature[]): Promise<readonly LongSection[]> {
    return (await this.#sheets(property, features, { sections: true })).sections ?? [];
  }

  async across(property: string, features: readonly Feature[]): Promise<readonly CrossSection[]> {
    return (await this.#sheets(property, features, { across: true })).across ?? [];
  }

  plan(property: string, features: readonly Feature[], request: PlanRequest, today?: string): Promise<Outcome> {
    return this.#inTurn(property, features, (news) => this.model.plan({ ...news, request, ...(today ? { today } : {}) }));
  }

  order(property: string, features: readonly Feature[], today: string): Promise<Order> {
    return this.#inTurn(property, features, (news) => this.model.order({ ...news, today }));
  }

  followUp(property: string, features: readonly Feature[], today: string, years: Years = {}): Promise<FollowUp> {
    return this.#inTurn(property, features, (news) => this.model.followUp({ ...news, today, request: years }));
  }

  async changed(property: string, features: readonly Feature[]): Promise<{ readonly [plan: string]: readonly BaseChange[] }> {
    return (await this.#sheets(property, features, { changed: true })).changed ?? {};
  }

  #sheets(property: string, features: readonly Feature[], wanted: object) {
    return this.#inTurn(property, features, (news) => this.model.sheets({ ...news, ...wanted }));
  }

  #inTurn<Told>(property: string, features: readonly Feature[], ask: (news: object) => Promise<Told | undefined>): Promise<Told> {
    const next = this.#last.then(async () => {
      const answer = (await this.#ask(property, features, ask)) ?? (await this.#ask(property, features, ask));
      if (!answer) throw notHere();
      return answer;
    });
    this.#last = next.catch(() => {});
    return next;
  }

  async #ask<Told>(property: string, features: readonly Feature[], ask: (news: object) => Promise<Told>): Promise<Told> {
    const { ended } = this.model;
    if (property !== this.#property || ended !== this.#ended) {
      [this.#property, this.#ended, this.#known] = [property, ended, new Map<string, string>()];
    }
    const news = features.filter((f) => this.#known.get(f.id) !== mark(f));
    const put = news.map(({ id, fields, struck, saw, clashes }) => ({ id, fields, saw, clashes, ...(struck ? { struck } : {}) }));
    const answer = await ask({ property, put });
    if (ended === this.model.ended) for (const f of news) this.#known.set(f.id, mark(f));
    return answer;
  }
}

/** Changes whenever a feature does: each device's count of entries about it grows. */
const mark = (f: Feature): string => `${f.stamp} ${JSON.stringify(f.saw)} ${f.unsent}`;
