// The way to pegging the works of an item's plan: which book, its set-up, the pegging. Each address on
// it names the item, so that nobody chooses twice what to peg, and where. Pure.

import { type Feature, kindOf } from "../../base/entry.ts";
import { ownNameOf } from "../../base/names.ts";

const works: { readonly [kind: string]: { readonly task: string; readonly many: string } } = {
  thalweg: { task: "dams", many: "dams" },
  track: { task: "whoa-boys", many: "whoa-boys" },
  fence: { task: "whoa-boys", many: "whoa-boys" },
};

/** The item along which works are pegged; undefined for one of none, and for one that is not there. */
export function pegsAlong(id: string | undefined, features: readonly Feature[]): Feature | undefined {
  const item = features.find((f) => f.id === id && !f.struck);
  return item && works[kindOf(item)] ? item : undefined;
}

/** "the dams along Main gully" */
export const pegsWords = (along: Feature): string => `the ${works[kindOf(along)]!.many} along ${ownNameOf(along)}`;

export const toBooksFor = (id: string): string => `#/peg/for/${id}`;

/** The book on its way to pegging, whose set-up it needs first. */
export const toBook = (book: string, along: Feature | undefined): string => `#/level/${book}${along ? `/${along.id}` : ""}`;

/** Pegging with a book; where nothing is named, the choice of what to peg. */
export const toPegging = (book: string, along: Feature | undefined): string =>
  along ? `#/peg/${works[kindOf(along)]!.task}/${book}/${along.id}` : `#/peg/with/${book}`;
