// The features as screens are given them: read once from the database, then kept in step
// with what is written there, by this page or by another one.

import type { Feature } from "../base/entry.ts";
import type { Connection } from "./connection.ts";

/** What watchers do when they are told takes an old phone longer than a drawing. */
const drawnMS = 60;

export class Shown {
  #properties = new Map<string, Promise<Map<string, Feature>>>();
  #watchers = new Set<() => void>();
  #channel: BroadcastChannel;
  #telling = false;

  /** elsewhere is called when another page has written, before the watchers are. */
  constructor(
    readonly db: Connection,
    elsewhere: () => Promise<void> | void,
  ) {
    this.#channel = new BroadcastChannel(`headcut-shelf/${db.name}`);
    this.#channel.onmessage = async () => {
      this.forget();
      await elsewhere();
      this.#call();
    };
  }

  async all(property: string): Promise<readonly Feature[]> {
    let features = this.#properties.get(property);
    if (!features) {
      features = this.db
        .read((open) => open.getAllFromIndex("features", "property", property))
        .then((all) => new Map(all.map((f) => [f.id, f])));
      this.#properties.set(property, features);
      features.catch(() => this.#properties.delete(property));
    }
    return [...(await features).values()];
  }

  /** Takes in features as they were just written. */
  change(features: readonly Feature[]): void {
    for (const feature of features) {
      void this.#properties.get(feature.property)?.then(
        (all) => all.set(feature.id, feature),
        () => undefined,
      );
    }
  }

  /** Everything is to be read from the database again. */
  forget(): void {
    this.#properties.clear();
  }

  watch(changed: () => void): () => void {
    this.#watchers.add(changed);
    return () => this.#watchers.delete(changed);
  }

  /** Whether watchers are still to be told of something. */
  get untold(): boolean {
    return this.#telling;
  }

  /** Tells this page's watchers and the other pages, once "saved" had its time to be drawn. */
  tell(): void {
    if (this.#telling) return;
    this.#telling = true;
    setTimeout(() => {
      this.#telling = false;
      this.#channel.postMessage("changed");
      this.#call();
    }, drawnMS);
  }

  #call(): void {
    for (const changed of this.#watchers) changed();
  }
}
