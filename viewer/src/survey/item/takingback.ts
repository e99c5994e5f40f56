// What can be taken back of a save that began, struck out or restored several items: those with
// entries since stay as they are. Pure.

import { kindNamed } from "../../base/kinds.ts";
import { ownNameOf } from "../../base/names.ts";
import { capital, count } from "../../base/words.ts";
import { kindOf, settingsKind, textOf, type Entry, type Feature } from "../../base/entry.ts";
import type { Saved } from "../../storage/store.ts";
import { rowsOf } from "../levelbook/row.ts";

/** A save of several items, as it is told and taken back. */
export interface Several {
  readonly lead: Feature; // the plan, where it is an adoption
  readonly name: string;
  readonly did: string; // "7 check dams proposed"
  readonly back: TakingBack | undefined; // none where nothing is left to strike out
}

export interface TakingBack {
  readonly entries: readonly Saved[];
  readonly asks: string; // "Strike out 5 proposed check dams? Dam 1 and Dam 2 were pegged since and stay."
  readonly yes: string;
  readonly done: string;
}

const isPlan = (f: Feature) => kindOf(f) === "plan";

/** Undefined of a save that is about one item. */
export function severalOf(saved: readonly Entry[], features: ReadonlyMap<string, Feature>): Several | undefined {
  const of = (entries: readonly Entry[]) => [...new Set(entries.map((e) => e.feature))].flatMap((id) => features.get(id) ?? []);
  const strikes = saved.some((e) => e.strike === true);
  const begins = saved.filter((e) => (strikes ? e.strike === true : e.strike === false || typeof e.set?.["kind"] === "string"));
  const all = of(begins).filter((f) => kindOf(f) !== settingsKind);
  const ids = new Set(all.map((f) => f.id));
  const items = all.filter((f) => !ids.has(textOf(f, "of")) || isPlan(f)); // a photo belongs to what was marked with it
  const plan = items.find(isPlan),
    works = items.filter((f) => f !== plan);
  if (items.length < 2 && !plan) return undefined;
  const proposed = begins.every((e) => !e.set || e.set["kind"] === "plan" || e.set["status"] === "proposed");
  const word = strikes ? "struck out" : begins.some((e) => e.strike === false) ? "restored" : plan && proposed ? "proposed" : "added";
  return {
    lead: plan ?? items[0]!,
    name: plan ? ownNameOf(plan) : capital(manyOf(works)),
    did: plan && works.length > 0 ? `${manyOf(works)} ${word}` : word === "proposed" ? "added" : word,
    back: strikes ? undefined : takingBack(saved, all, of(saved), features),
  };
}

function takingBack(
  saved: readonly Entry[],
  begun: readonly Feature[],
  all: readonly Feature[],
  features: ReadonlyMap<string, Feature>,
): TakingBack | undefined {
  const looked = lookedAt(features.values(), new Set(all.map((f) => f.id)));
  const since = new Set(all.filter((f) => looked.has(f.id) || saved.every((e) => e.feature !== f.id || e.stamp < f.stamp)));
  for (const plan of begun.filter(isPlan))
    if ([...features.values()].some((f) => !f.struck && textOf(f, "plan") === plan.id && (since.has(f) || !all.includes(f))))
      since.add(plan); // a work that stays goes by it
  const strikes = begun.filter((f) => !f.struck && !since.has(f));
  if (strikes.length === 0) return undefined;
  const works = strikes.filter((f) => !isPlan(f));
  const edited = all.filter((f) => !f.struck && !since.has(f) && !begun.includes(f));
  const what = works.length === 0 ? ownNameOf(strikes[0]!) : manyOf(works);
  const stays = begun.filter((f) => !f.struck && since.has(f) && !isPlan(f));
  const names = namesOf(stays);
  const became = new Set(
    stays.map((f) => (saved.some((e) => e.feature === f.id && e.set?.["status"] === f.fields["status"]) ? "" : textOf(f, "status"))),
  );
  const [one = ""] = became;
  const why = became.size === 1 && ["pegged", "built"].includes(one) ? one : "changed or visited";
  const proposed = works.length > 0 && works.every((f) => textOf(f, "status") === "proposed");
  return {
    entries: saved.flatMap((e) => ([...since].some((f) => f.id === e.feature) ? [] : { feature: e.feature, entry: e.id })),
    asks: [
      `Strike out ${proposed ? what.replace(" ", " proposed ") : what}?`,
      edited.length > 0 && `What it changed of ${namesOf(edited)} is undone.`,
      stays.length > 0 && `${names} ${stays.length === 1 ? "was" : "were"} ${why} since and ${stays.length === 1 ? "stays" : "stay"}.`,
    ]
      .filter(Boolean)
      .join(" "),
    yes: `Strike out ${what}`,
    done: `${what} struck out${stays.length > 0 ? `, ${names} ${stays.length === 1 ? "stays" : "stay"}` : ""}`,
  };
}

/** Ids of what others than these visited, photographed or put a staff on. */
export function lookedAt(features: Iterable<Feature>, without: ReadonlySet<string> = new Set()): ReadonlySet<string> {
  const looked = new Set<string>();
  for (const f of features) {
    if (f.struck || without.has(f.id)) continue;
    if (kindOf(f) === "visit") looked.add(textOf(f, "of"));
    else if (kindOf(f) === "level-run") for (const row of rowsOf(f)) if (row.feature && !row.struck) looked.add(row.feature);
  }
  return looked;
}

/** "7 check dams", "3 items" where they are of several kinds. */
function manyOf(features: readonly Feature[]): string {
  const kinds = new Set(features.map(kindOf));
  const { label, plural } = kindNamed(kinds.size === 1 ? kindOf(features[0]!) : "unsorted");
  return kinds.size === 1 ? count(features.length, label.toLowerCase(), plural.toLowerCase()) : count(features.length, "item", "items");
}

const namedAtMost = 3;

/** "Dam 1, Dam 2 and Dam 3", "Dam 1, Dam 2, Dam 3 and 4 more" */
function namesOf(features: readonly Feature[]): string {
  const shown = features.slice(0, namedAtMost).map(ownNameOf);
  const more = features.length - shown.length;
  const last = more > 0 ? `${more} more` : shown.pop();
  return shown.length > 0 ? `${shown.join(", ")} and ${last}` : `${last}`;
}

/** The works that an earlier plan of the same gully or track left proposed: those that nobody pegged, measured or visited; what the plan of this id proposes is not among them. */
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
