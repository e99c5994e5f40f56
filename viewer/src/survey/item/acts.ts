// What this phone did today, save by save, as the first screen lists it. Pure.

import { fieldsOf, kindNamed } from "../../base/kinds.ts";
import { isPhoto, labelOf, nameOf } from "../../base/names.ts";
import { severalOf, type TakingBack } from "./takingback.ts";
import { same } from "./undo.ts";
import { kindOf, placeOf, settingsKind, type Entry, type Feature } from "../../base/entry.ts";
import type { Recorded, Saved } from "../../storage/store.ts";

/** Entries that were saved together, newest first. */
export interface Act {
  readonly key: string;
  readonly at: Date;
  readonly feature: Feature; // the item that it is about
  readonly name: string; // of the item
  readonly did: string; // "added", "edited: crest above bed"
  readonly entries: readonly Saved[];
  readonly waits: number; // entries not sent yet
  readonly refused: number;
  /** How it is taken back: an item that began with it by striking it out, values by undoing. */
  readonly back: "strike out" | "restore" | "undo" | undefined;
  readonly several?: TakingBack | undefined; // what is asked before several items are struck out
}

/** The first moment of the day of now, where the phone is. */
export const dayBegan = (now: Date): Date => new Date(now.getFullYear(), now.getMonth(), now.getDate());

/** Ids of entries that undid others, as this phone keeps them beside its register. */
export const undoneKey = "undone";

/** What this phone noted of its last undos, with a new one's entries. */
export const withUndone = (known: readonly string[] | undefined, entries: readonly Saved[]): readonly string[] =>
  [...(known ?? []), ...entries.map((e) => e.entry)].slice(-500);

export function actsOf(recorded: readonly Recorded[], features: readonly Feature[], undone: readonly string[] = []): readonly Act[] {
  const undid = new Set(undone);
  const byID = new Map(features.map((f) => [f.id, f]));
  const groups = new Map<number, Recorded[]>();
  for (const r of recorded) groups.set(r.savedMS, [...(groups.get(r.savedMS) ?? []), r]);
  const acts: Act[] = [];
  for (const [savedMS, all] of groups) {
    const main = all.find((r) => begins(r.entry)) ?? all[0]!;
    const feature = byID.get(main.entry.feature);
    if (!feature) continue; // not folded yet
    const several = severalOf(
      all.map((r) => r.entry),
      byID,
    );
    const act: Act = {
      key: `${savedMS} ${main.entry.id}`,
      at: new Date(savedMS),
      feature: several?.lead ?? feature,
      name: several?.name ?? nameOf(feature, features),
      did: several?.did ?? didOf(main.entry, feature, undid.has(main.entry.id)),
      entries: all.map(({ entry }) => ({ feature: entry.feature, entry: entry.id })),
      waits: all.filter((r) => r.waits).length,
      refused: all.filter((r) => r.refused).length,
      ...(several && main.entry.strike !== true
        ? { back: several.back && "strike out", several: several.back }
        : { back: backOf(all, main.entry, byID) }),
    };
    const before = acts[acts.length - 1];
    // A level book is saved at each foresight: it is told once.
    if (before && act.did === booked && before.did === booked && before.feature === feature) acts[acts.length - 1] = both(before, act);
    else acts.push(act);
  }
  return acts.reverse();
}

const both = (a: Act, b: Act): Act => ({
  ...b,
  key: a.key,
  entries: [...a.entries, ...b.entries],
  waits: a.waits + b.waits,
  refused: a.refused + b.refused,
});

const begins = (e: Entry): boolean => typeof e.set?.["kind"] === "string";
const booked = "rows booked";

function didOf(e: Entry, feature: Feature, undid: boolean): string {
  if (e.strike !== undefined) return e.strike ? "struck out" : "restored";
  if (begins(e))
    return isPhoto(feature)
      ? e.set?.["picture"] === undefined
        ? "taken"
        : "photo added"
      : kindOf(feature) === "visit"
        ? "visited"
        : "added";
  if (kindOf(feature) === "level-run" && "rows" in (e.set ?? {})) return booked;
  const labels = new Map(fieldsOf(kindNamed(kindOf(feature))).map((f) => [f.name, labelOf(feature, f).toLowerCase()]));
  const names = Object.keys(e.set ?? {}).flatMap((name) => {
    if (name === "geometry") return [placeOf(feature)?.type === "Point" ? "position" : "shape"];
    const label = labels.get(name);
    return label && !aboutThePosition.has(name) ? [label] : [];
  });
  const few = names.slice(0, 2).join(", ") + (names.length > 2 ? ` and ${names.length - 2} more` : "");
  const word = undid ? "undone" : "edited";
  return few ? `${word}: ${few}` : word;
}

/** They are told by the position that they belong to. */
const aboutThePosition = new Set(["accuracyM", "gpsHeightM", "gpsHeightsM", "positionBasis", "receiver"]);

function backOf(all: readonly Recorded[], main: Entry, features: ReadonlyMap<string, Feature>): Act["back"] {
  const of = (e: Entry) => features.get(e.feature);
  if (begins(main)) return main.set?.["kind"] === settingsKind ? undefined : of(main)?.struck ? "restore" : "strike out";
  if (main.strike !== undefined) return of(main)?.struck === main.strike ? "undo" : undefined;
  const f = of(main);
  if (f && kindOf(f) === "level-run") return undefined; // its own page has the rows
  const stands = all.some(({ entry: e }) =>
    Object.entries(e.set ?? {}).some(
      ([name, value]) => (!aboutThePosition.has(name) || e.set?.["geometry"] === undefined) && same(of(e)?.fields[name] ?? null, value),
    ),
  );
  return stands && f && !f.struck ? "undo" : undefined;
}
