// Which property the officer works on: the one that was opened last.

import { storeName } from "../base/page.ts";
import type { Property, Self } from "./store.ts";
import { day, dayOf } from "../base/words.ts";

const formerKey = `${storeName}.property`; // where pages before this one kept it

export function chosenProperty({ properties, opened = {} }: Self): Property | null {
  const when = (p: Property) => opened[p.id] ?? 0;
  const last = properties.reduce<Property | undefined>((a, b) => (a && when(a) >= when(b) ? a : b), undefined);
  if (last && when(last) > 0) return last;
  return properties.find((p) => p.id === formerly()) ?? properties.find((p) => !p.into && !p.barred) ?? last ?? null;
}

function formerly(): string | null {
  try {
    return localStorage.getItem(formerKey);
  } catch {
    return null; // a browser that keeps nothing here still opens the first one
  }
}

/** What the officer calls it. One that has no name, or only its id for one, is known by the day on which it was begun. */
export function calledProperty({ id, name }: Property): string {
  if (name && name !== id) return name;
  const madeMS = /^[0-9a-f]{8}-[0-9a-f]{4}-7/.test(id) ? Number.parseInt(id.slice(0, 8) + id.slice(9, 13), 16) : 0; // UUIDv7 (RFC 9562, 5.7)
  return madeMS > 0 ? `Unnamed property, begun ${day(dayOf(new Date(madeMS)))}` : "Unnamed property";
}
