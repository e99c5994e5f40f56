// A plan while it is chosen, and what adopting it would write down.

import { useState } from "preact/hooks";
import { dayOf } from "../../base/words.ts";
import { plainProblem, type Problem } from "../../base/problem.ts";
import type { Adoption, Outcome, PlanRequest } from "../../compute/plan.ts";
import { useAsking } from "../../ui/hooks.ts";
import { useField } from "../context/field.ts";

export interface Plan {
  /** The newest there is: that of what was chosen before stays until the next has come. */
  readonly outcome?: Outcome;
  readonly adoption?: Adoption | undefined; // undefined while it is not that of what is chosen now
  readonly barred?: Problem | undefined; // why it cannot be adopted
  readonly refused?: Problem; // why there is no outcome
}

interface Heard extends Plan {
  readonly to: string;
}

/** adopts: what adopting writes down is asked too. */
export function usePlan(request: PlanRequest, adopts: boolean): Plan {
  const { plans, property, features } = useField();
  const [heard, hear] = useState<Heard>({ to: "" });
  const to = JSON.stringify(request);
  useAsking(
    async () => {
      const outcome = await plans.plan(property.id, features, request);
      if (!adopts || outcome.answer === undefined) return { to, outcome };
      return plans.plan(property.id, features, request, dayOf(new Date())).then(
        ({ adoption }) => ({ to, outcome, adoption }),
        (barred: Problem) => ({ to, outcome, barred: plainProblem(barred) }),
      );
    },
    [features, to],
    hear,
    (refused) => hear({ to, refused: plainProblem(refused as Problem) }),
  );
  return heard.to === to ? heard : { ...heard, adoption: undefined, barred: undefined };
}
