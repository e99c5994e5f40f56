// What this phone's own capture makes of a feature. An entry of this phone has seen
// everything the phone knows of the feature, so it wins every field that it sets and ends
// every clash of them; the whole rule, for entries of others, is Go's (sync/register).

import type { Entry, Feature } from "../base/entry.ts";
import { noStamp } from "./stamp.ts";

export function unknownFeature(id: string, property: string): Feature {
  return { id, property, fields: {}, struck: false, clashes: [], saw: {}, stamp: noStamp, unsent: 0 };
}

/** The feature after an entry that saw it as it was, not yet sent. */
export function overlay(before: Feature, e: Entry): Feature {
  const fields: { [name: string]: unknown } = { ...before.fields };
  for (const [name, value] of Object.entries(e.set ?? {})) {
    if (value === null) delete fields[name];
    else fields[name] = value;
  }
  return {
    ...before,
    fields,
    struck: e.strike ?? before.struck,
    clashes: before.clashes.filter((name) => (e.set ? !(name in e.set) : name !== "strike")),
    saw: { ...before.saw, [e.device]: e.deviceSeq },
    stamp: e.stamp,
    unsent: before.unsent + 1,
  };
}

/** What an entry of this device says it saw: all but its own. */
export function sawOthers(feature: Feature, device: string): { readonly [device: string]: number } {
  const { [device]: _, ...others } = feature.saw;
  return others;
}
