// The parts of a service worker's surroundings that ours uses, as the W3C's Service Workers
// defines them. TypeScript's own types for them cannot stand beside those of a page.

import { cachePrefix } from "../base/page.ts";

export interface ExtendableEvent extends Event {
  waitUntil(promise: Promise<unknown>): void;
}

export interface FetchEvent extends ExtendableEvent {
  readonly request: Request;
  respondWith(response: Promise<Response>): void;
}

export interface MessageToWorker extends ExtendableEvent {
  readonly data: unknown;
  readonly ports: readonly MessagePort[];
}

export interface WorkerScope {
  /** Put before this script by the server. */
  readonly shelved: Shelved;
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(type: "install" | "activate", listener: (event: ExtendableEvent) => void): void;
  addEventListener(type: "fetch", listener: (event: FetchEvent) => void): void;
  addEventListener(type: "message", listener: (event: MessageToWorker) => void): void;
}

/** Every file that the page can need, and a version that is another whenever one of them is. */
export interface Shelved {
  readonly version: string;
  readonly files: readonly { readonly url: string; readonly integrity: string }[];
}

/** Where workers tell that another version is given from now on. */
export const newsChannel = `headcut-${cachePrefix}given-version`;

export interface Taken {
  readonly given: string;
  readonly before: string | undefined; // none when it is the first
}

/** What the page asks the worker. */
export type Asked = "which" | "take over" | "fetch again";

/** The worker's answer: the version it brought, and the one that it gives to the page. */
export interface Which {
  readonly brought: string;
  readonly given: string;
  readonly missing: number; // files of the given version that are not on the phone
}
