// Which property the officer works on, remembered between openings. It is a convenience:
// every entry names its property itself.

import type { Property, Self } from "../shelf.ts";

const key = "headcut.property";

export function chosenProperty(self: Self): Property | null {
  let wanted: string | null = null;
  try {
    wanted = localStorage.getItem(key);
  } catch {
    // a browser that keeps nothing here still opens the first one
  }
  return self.properties.find((p) => p.id === wanted) ?? self.properties[0] ?? null;
}

export function rememberProperty(property: Property): void {
  try {
    localStorage.setItem(key, property.id);
  } catch {
    // asked again next time
  }
}
