// The items of a property as rows of the table: filtered, ordered, worded. Pure.

import { type Feature, kindOf, stampedAt, textOf } from "../../base/entry.ts";
import { statusOf, statusWords } from "../../base/item.ts";
import { inOrder } from "../../base/kindgroups.ts";
import { kindNamed, kinds } from "../../base/kinds.ts";
import { capital } from "../../base/words.ts";
import { matching } from "../../survey/item/listed.ts";
import { newestOf } from "../../survey/visit/newest.ts";
import { visitsByThing } from "../../survey/visit/visits.ts";

export const columns = ["kind", "name", "status", "changed", "person"] as const;
export type Column = (typeof columns)[number];

export const columnLabels: { readonly [column in Column]: string } = {
  kind: "Kind",
  name: "Name",
  status: "Status",
  changed: "Last change",
  person: "By",
};

export interface Order {
  readonly by: Column;
  readonly down: boolean; // the last first
}

export interface Wanted {
  readonly kind: string; // "" for all
  readonly search: string;
  readonly order: Order;
}

/** What the table is ordered by at first: by kind, as every chooser has them. */
export const atFirst: Wanted = { kind: "", search: "", order: { by: "kind", down: false } };

/** "Built"; "" of what is no work. */
export function statusText(item: Feature): string {
  return kindNamed(kindOf(item)).work ? statusWords[statusOf({ status: textOf(item, "status") })] : "";
}

/** By item, how it stands and what the newest visit that judged it found: "Built, needs work". */
export function statusTexts(features: readonly Feature[]): ReadonlyMap<string, string> {
  const visits = visitsByThing(features);
  return new Map(
    features.map((f) => {
      const [status, found] = [statusText(f), newestOf(f, visits.get(f.id) ?? [])?.condition ?? ""];
      return [f.id, capital([status, found].filter((words, i, all) => words !== "" && words !== all[i - 1]?.toLowerCase()).join(", "))];
    }),
  );
}

const kindPlaces = new Map(inOrder(kinds).map((kind, i) => [kind.name, i]));
const kindPlace = (item: Feature): number => kindPlaces.get(kindNamed(kindOf(item)).name) ?? kindPlaces.size;

/** Names with numbers in the order in which people count: "Dam 2" before "Dam 10". */
const words = new Intl.Collator("en", { numeric: true, sensitivity: "base" });

const byKind = (a: Feature, b: Feature): number => kindPlace(a) - kindPlace(b);

/** The items that are wanted, in their order; what has no words or no date in a column comes last. personOf is known of those that were looked up. */
export function rowsOf(
  items: readonly Feature[],
  { kind, search, order }: Wanted,
  personOf: (item: Feature) => string,
  statusTextOf: (item: Feature) => string,
): readonly Feature[] {
  const turn = order.down ? -1 : 1;
  const byText = (of: (item: Feature) => string) => (a: Feature, b: Feature) => {
    const [x, y] = [of(a), of(b)];
    return x === "" || y === "" ? Number(x === "") - Number(y === "") : turn * words.compare(x, y);
  };
  const nameOf = (f: Feature) => textOf(f, "name").trim();
  const by: { readonly [column in Column]: (a: Feature, b: Feature) => number } = {
    kind: (a, b) => turn * byKind(a, b),
    name: byText(nameOf),
    status: byText(statusTextOf),
    changed: (a, b) => {
      const [x, y] = [stampedAt(a), stampedAt(b)];
      return x && y ? turn * (x.getTime() - y.getTime()) : Number(!x) - Number(!y);
    },
    person: byText(personOf),
  };
  const name = (a: Feature, b: Feature) => Number(nameOf(a) === "") - Number(nameOf(b) === "") || words.compare(nameOf(a), nameOf(b));
  return [...matching(items, kind, search)].sort((a, b) => by[order.by](a, b) || byKind(a, b) || name(a, b) || (a.id < b.id ? -1 : 1));
}
