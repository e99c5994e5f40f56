// What the link remembers from one opening of the page to the next. It is only for telling:
// losing it costs nothing, so it lies in localStorage beside the store.

import { storeName } from "../base/page.ts";

export interface Remembered {
  readonly lastSentMS: number | null;
  readonly clockOffS: number;
}

const key = `${storeName}-link`;

export function recall(): Remembered {
  try {
    const read = JSON.parse(localStorage.getItem(key) ?? "{}") as Partial<Remembered>;
    return { lastSentMS: finite(read.lastSentMS) ?? null, clockOffS: finite(read.clockOffS) ?? 0 };
  } catch {
    return { lastSentMS: null, clockOffS: 0 };
  }
}

export function remember(what: Remembered): void {
  try {
    localStorage.setItem(key, JSON.stringify(what));
  } catch {
    // refused or full: the next opening says that nothing was sent yet
  }
}

const finite = (v: unknown): number | undefined => (typeof v === "number" && Number.isFinite(v) ? v : undefined);
