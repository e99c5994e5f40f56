// How far this phone has counted, kept a second and third time outside the database. A
// browser may empty a damaged database, or go back to an older one, without a word: then
// the marks are ahead of it, and the page must say so instead of counting from nothing.

import { storeName } from "../base/page.ts";

export type Highest = { readonly [device: string]: { readonly [property: string]: number } };

const storageKey = `${storeName}.marks`;
const cacheName = `${storeName}-marks`; // not one of the service worker's, which it may delete

export class HighWater {
  #marks: Highest = {};
  #putting: Promise<void> | null = null;
  #again = false;

  constructor(readonly name: string) {}

  /** Reads both copies, the nearer one at once; the greater of two numbers counts. */
  async load(): Promise<void> {
    this.#marks = {};
    this.#take(this.#fromStorage());
    this.#take(await this.#fromCache());
  }

  #take(copy: Highest): void {
    for (const [device, properties] of Object.entries(copy)) {
      this.#marks = { ...this.#marks, [device]: this.#marks[device] ?? {} };
      for (const [property, seq] of Object.entries(properties)) this.#raise(device, property, seq);
    }
  }

  /** Whether any device was ever enrolled here. */
  get any(): boolean {
    return Object.keys(this.#marks).length > 0;
  }

  /** How far it has counted at this moment. */
  get now(): Highest {
    return this.#marks;
  }

  high(device: string, property: string): number {
    return this.#marks[device]?.[property] ?? 0;
  }

  properties(device: string): string[] {
    return Object.keys(this.#marks[device] ?? {});
  }

  /** To be called once the database has it on disk, never before. */
  raise(device: string, property: string, seq: number): void {
    this.#raise(device, property, seq);
    this.#save();
  }

  /** The phone is this device from now on. */
  begin(device: string): void {
    this.#marks = { [device]: this.#marks[device] ?? {} };
    this.#save();
  }

  #raise(device: string, property: string, seq: number): void {
    this.#marks = { ...this.#marks, [device]: { ...this.#marks[device], [property]: Math.max(this.high(device, property), seq) } };
  }

  /** Saves both copies soon: the officer does not wait for them. */
  #save(): void {
    this.#again = true;
    this.#putting ??= new Promise((soon) => setTimeout(soon)).then(() => this.#put()).finally(() => (this.#putting = null));
  }

  #store(): void {
    try {
      localStorage.setItem(`${storageKey}/${this.name}`, JSON.stringify(this.#marks));
    } catch {
      // refused or full: the other copy stays
    }
  }

  async #put(): Promise<void> {
    while (this.#again) {
      this.#again = false;
      this.#store();
      try {
        const cache = await caches.open(cacheName);
        await cache.put(this.#address(), new Response(JSON.stringify(this.#marks)));
      } catch {
        // refused or full: the other copy stays
      }
    }
  }

  #address(): string {
    return `${location.origin}/${cacheName}/${this.name}`;
  }

  #fromStorage(): Highest {
    try {
      return highestOf(localStorage.getItem(`${storageKey}/${this.name}`));
    } catch {
      return {};
    }
  }

  async #fromCache(): Promise<Highest> {
    try {
      const kept = await (await caches.open(cacheName)).match(this.#address());
      return highestOf(kept ? await kept.text() : null);
    } catch {
      return {};
    }
  }
}

function highestOf(text: string | null): Highest {
  const read: unknown = text === null ? null : JSON.parse(text);
  return typeof read === "object" && read !== null ? (read as Highest) : {};
}
