// Which property the officer works on: the one that was opened last.

import type { Property, Self } from "../shelf.ts";

const formerKey = "headcut.property"; // where pages before this one kept it

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

export const calledProperty = ({ name }: Property): string => name || "Unnamed property";
