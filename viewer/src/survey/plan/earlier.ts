// The works that an earlier plan of the same gully or track left proposed. Pure.

import { type Feature, kindOf, textOf } from "../../base/entry.ts";
import { lookedAt } from "../item/takingback.ts";

/** Those that nobody pegged, measured or visited; what the plan of this id proposes is not among them. */
export function earlierWorks(plan: string, of: string, features: readonly Feature[]): readonly Feature[] {
  const looked = lookedAt(features);
  return features.filter(
    (f) =>
      !f.struck &&
      textOf(f, "status") === "proposed" &&
      !["", plan].includes(textOf(f, "plan")) &&
      textOf(f, kindOf(f) === "whoa-boy" ? "track" : "thalweg") === of &&
      ["positionBasis", "chainageBasis"].every((basis) => ["", "from plan"].includes(textOf(f, basis))) &&
      !looked.has(f.id),
  );
}
