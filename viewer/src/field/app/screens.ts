// The screens and the addresses under which they open. A screen that is heavy, or seldom
// needed, is a piece of its own that is loaded when it opens; the service worker has it.

import type { ComponentType } from "preact";
import { Home } from "../home/home.tsx";

/** What the address of a screen names: "#/mark/:kind" gives { kind }. */
export type Params = { readonly [name: string]: string };

export type Screen = ComponentType<{ params: Params }>;

export interface ScreenRow {
  readonly route: string;
  readonly title: string;
  readonly load: () => Screen | Promise<Screen>;
}

export const screens: readonly ScreenRow[] = [
  { route: "#/", title: "Today", load: () => Home },
];

/** The row of an address and what it names; the first screen for one that nobody has. */
export function screenAt(address: string, rows: readonly ScreenRow[] = screens): { row: ScreenRow; params: Params } {
  const given = parts(address);
  for (const row of rows) {
    const wanted = parts(row.route);
    if (wanted.length !== given.length) continue;
    const params: { [name: string]: string } = {};
    const fits = wanted.every((part, i) => {
      const value = given[i] ?? "";
      if (!part.startsWith(":")) return part === value;
      params[part.slice(1)] = decodeURIComponent(value);
      return value !== "";
    });
    if (fits) return { row, params };
  }
  return { row: rows[0]!, params: {} };
}

function parts(address: string): string[] {
  return address.replace(/^#?\/?/, "").split("/");
}
