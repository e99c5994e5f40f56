// The frames of sync/wire as this end writes and reads them: one line of JSON, and in a
// push and a page a further line for each entry, exactly as its device wrote it.

import type { Problem } from "../base/problem.ts";
import type { Position, Property, Receipt } from "../storage/store.ts";

/** The newest version of the protocol that this page speaks. */
export const version = 2;

// Limits that both ends keep to (sync/wire/frame.go).
export const frameEntries = 100; // entries a frame is best filled with
export const idsAtMost = 1000; // ids in one missing

export type Sent =
  | { readonly type: "hello"; readonly version: number; readonly token: string; readonly device: string; readonly clockMS: number }
  | { readonly type: "push"; readonly push: number; readonly property: string; readonly entries: readonly string[] }
  | { readonly type: "pull"; readonly property: string; readonly at?: Position; readonly entries: number }
  | { readonly type: "begin"; readonly property: string; readonly name: string } // since version 2
  | { readonly type: "missing"; readonly property: string; readonly ids: readonly string[] };

export interface Welcome {
  readonly type: "welcome";
  readonly version: number;
  readonly device: string;
  readonly clockMS: number;
  readonly properties: readonly string[];
  readonly epoch: string; // "" when the server does not tell
  readonly limits: { readonly entries: number; readonly bytes: number };
  readonly about: readonly Property[]; // of each of the properties, since version 2
}

export interface Begun {
  readonly type: "begun";
  readonly property: Property;
}

export interface Receipts {
  readonly type: "receipts";
  readonly push: number;
  readonly property: string;
  readonly receipts: readonly Receipt[];
}

export interface Page {
  readonly type: "page";
  readonly property: string;
  readonly first: number;
  readonly arrivedMS: readonly number[];
  readonly at: Position;
  readonly last: number; // entries of the property in all; 0 when the server does not tell
  readonly more: boolean;
  readonly entries: readonly string[];
}

export interface Forked {
  readonly type: "forked";
  readonly property: string;
  readonly marks: readonly Position[];
}

export interface Lacks {
  readonly type: "lacks";
  readonly property: string;
  readonly ids: readonly string[];
}

export interface Hint {
  readonly type: "hint";
  readonly property: string;
  readonly n: number;
}

/** Photos that the server does not have. */
export interface Wanted {
  readonly type: "wanted";
  readonly photos: readonly string[];
}

export interface Later {
  readonly type: "later";
  readonly afterMS: number;
  readonly withinMS: number;
}

export interface Told {
  readonly type: "problem";
  readonly push: number;
  readonly property: string;
  readonly closing: boolean;
  readonly problem: Problem;
}

/** A frame that answers what was asked. */
export type Answering = Begun | Receipts | Page | Forked | Lacks | Told;

/** Any frame from the server; null stands for one of a type that this page does not know. */
export type Frame = Answering | Welcome | Hint | Wanted | Later | null;

export function encode(frame: Sent): string {
  if (frame.type !== "push") return JSON.stringify(frame);
  const { entries, ...head } = frame;
  return [JSON.stringify(head), ...entries].join("\n");
}

/** Reads a frame; members that may be absent get their zero. Throws on what is none. */
export function decode(text: string): Frame {
  const [head = "", ...entries] = text.split("\n");
  const members: unknown = JSON.parse(head);
  if (!isObject(members) || typeof members["type"] !== "string") throw new Error("a frame without a type came");
  const zero = zeros[members["type"]];
  if (!zero) return null;
  const frame = { ...zero, ...members };
  for (const [name, value] of Object.entries(zero)) {
    if (frame[name] === null) frame[name] = value; // Go writes an empty list so
    if (typeof frame[name] !== typeof value) throw new Error(`${name} of a ${members["type"]} is a ${typeof frame[name]}`);
  }
  if (frame["type"] !== "page") return frame as unknown as Frame;
  const page = { ...frame, entries } as unknown as Page;
  if (page.arrivedMS.length !== entries.length) throw new Error(`a page has ${page.arrivedMS.length} times for ${entries.length} entries`);
  return page;
}

const isObject = (v: unknown): v is { [name: string]: unknown } => typeof v === "object" && v !== null && !Array.isArray(v);

/** By type, its members with what they are when absent. */
const zeros: { readonly [type: string]: { readonly [member: string]: unknown } | undefined } = {
  welcome: { version: 0, device: "", clockMS: 0, properties: [], epoch: "", limits: { entries: 0, bytes: 0 }, about: [] },
  begun: { property: {} },
  receipts: { push: 0, property: "", receipts: [] },
  page: { property: "", first: 0, arrivedMS: [], at: { epoch: "", n: 0, hash: "" }, last: 0, more: false },
  forked: { property: "", marks: [] },
  lacks: { property: "", ids: [] },
  hint: { property: "", n: 0 },
  wanted: { photos: [] },
  later: { afterMS: 0, withinMS: 0 },
  problem: { push: 0, property: "", closing: false, problem: {} },
};

// How many entries go into a frame: what the line carries. Half as many when nothing got
// through before it broke, twice as many when something did.
export class Load {
  entries = frameEntries;

  through(): void {
    this.entries = Math.min(2 * this.entries, frameEntries);
  }

  broke(): void {
    this.entries = Math.max(Math.floor(this.entries / 2), 1);
  }
}
