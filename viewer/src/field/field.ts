// What every screen of the field page is given. A screen is a function of this and of its
// own small state; it touches no database, socket or sensor itself.

import { createContext } from "preact";
import { useContext } from "preact/hooks";
import type { Draft, Property, Saved, Shelf } from "./shelf.ts";
import type { Feature } from "./entry.ts";
import type { RawFix } from "./place/raw.ts";

/** A position good enough to be kept, averaged while a form is open. */
export interface Fix {
  readonly lon: number;
  readonly lat: number;
  readonly accuracyM: number;
  readonly heightM?: number; // as the phone gave it: a label, never a level
  readonly at: Date; // of the newest fix in it
  readonly count: number; // fixes averaged
  readonly newest?: RawFix; // the last of them, as the receiver gave it
  readonly takenMS: number; // when that one was taken, by a clock of this page that is never set (place/age.ts)
  readonly stand?: number; // of an average: another number at every place where it began again
}

export interface Fixes {
  /** Starts the receiver and calls back with every fix; the returned function stops. */
  watch(each: (fix: Fix) => void, trouble: (what: string) => void): () => void;
  /** Asks the receiver for a fresh fix: one that rests says nothing new by itself. */
  again(): void;
  /** Averages where the officer stands, from now until stop: each better mean is told, and it begins again when she moves. */
  average(each: (mean: Fix) => void, trouble: (what: string) => void): () => void;
}

/** The computations of package model, from the wasm build: the server's own answers. */
export interface Model {
  compute<T>(name: string, input: unknown): Promise<T>; // rejects with Problem
  ready(): Promise<void>;
}

export interface Problem {
  readonly path?: string;
  readonly reason: string;
  readonly fix?: string;
}

/** How it stands with the server. It never says more than is known. */
export interface LinkState {
  readonly state: "never" | "trying" | "sending" | "quiet" | "no-answer" | "refused";
  readonly lastSent: Date | null; // when the server last acknowledged something, or had nothing to
  readonly clockOffS: number; // this phone's clock less the server's, at the last handshake
  readonly words: string; // for the officer
  readonly loading?: Loading | null; // a property is coming onto this phone for the first time
}

/** How far the first loading of a property has come: its entries, then its small photos. */
export interface Loading {
  readonly property: string;
  readonly entries: number; // so far
  readonly ofEntries: number | null; // in all; null when the server does not tell
  readonly photos: { readonly got: number; readonly of: number } | null; // null until the entries are here
}

export interface Link {
  state(): LinkState;
  watch(changed: () => void): () => void;
  sendNow(): void;
}

export interface Field {
  readonly shelf: Shelf;
  readonly model: Model;
  readonly fixes: Fixes;
  readonly link: Link;
  readonly property: Property;
  readonly features: readonly Feature[]; // of the property, as they stand now
  /**
   * Saves, shakes the phone, and says so, with a way to take it back unless undoable is
   * false; throws ShelfTrouble when it could not.
   */
  capture(drafts: readonly Draft[], said: string, undoable?: boolean): Promise<readonly Saved[]>;
  /** Opens a screen: "#/mark/gully-head". */
  go(route: string): void;
  back(): void;
  /** Puts words into the status region. */
  say(words: string): void;
  /** Says why nothing was saved, until the officer does something about it. */
  refuse(why: string): void;
}

export const FieldContext = createContext<Field | null>(null);

export function useField(): Field {
  const field = useContext(FieldContext);
  if (!field) throw new Error("no field around this screen");
  return field;
}
