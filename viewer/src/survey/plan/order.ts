// The order of works of a property as a screen shows it. Pure.

import { kindNamed } from "../../base/kinds.ts";
import { count } from "../../base/words.ts";
import type { Bill, Place, Proposed, Step } from "../../compute/order.ts";

const heads: { readonly [step in Step]: string } = {
  prevention: "Prevention, and the cause upslope",
  water: "Water at the heads",
  grass: "Grass on bare ground",
  structures: "The gully’s floor",
};

/** The places under the step that each belongs to, each with its number in the whole order. */
export function inSteps(
  places: readonly Place[],
): readonly { readonly head: string; readonly places: readonly (Place & { readonly number: number })[] }[] {
  const steps: { step: Step; head: string; places: (Place & { number: number })[] }[] = [];
  places.forEach((place, i) => {
    if (steps[steps.length - 1]?.step !== place.step) steps.push({ step: place.step, head: heads[place.step], places: [] });
    steps[steps.length - 1]!.places.push({ ...place, number: i + 1 });
  });
  return steps;
}

const works = (kind: string, n: number) => count(n, kindNamed(kind).label.toLowerCase(), kindNamed(kind).plural.toLowerCase());

/** "3 check dams proposed, 1 whoa-boy built"; "" without any. */
export const worksWords = (all: Place["works"]): string => all.map((w) => `${works(w.kind, w.count)} ${w.status}`).join(", ");

/** "4 check dams: 3 proposed, 1 pegged. 12.5 h; 840.00 XTS". */
export function proposedWords({ kind, proposed, pegged, bill }: Proposed, currency: string | undefined): string {
  const stages = [proposed && `${proposed} proposed`, pegged && `${pegged} pegged`].filter(Boolean).join(", ");
  return `${works(kind, proposed + pegged)}: ${stages}.${bill ? ` ${billWords(bill, currency)}` : ""}`;
}

/** What works come to; a sum of which a part is not known is the least it can be. */
export function billWords(bill: Bill, currency: string | undefined): string {
  const part = (sum: number | undefined, unit: string, what: string, lacking: number) => {
    if (sum === undefined) return `${what} not known`;
    return lacking > 0 ? `${sum.toFixed(2)} ${unit} at the least: ${lacking} of ${bill.works} not known` : `${sum.toFixed(2)} ${unit}`;
  };
  return `${part(bill.hours, "h", "hours", bill.noHours)}; ${part(bill.cost, currency ?? "in units not recorded", "cost", bill.noCost)}.`;
}
