// The properties on this phone: those that the office gave it, those that the officer began
// with no signal, and those of which something is still here though the office does not, or
// not any more, name them.

import { device } from "../base/page.ts";
import type { Property, PropertyState, Self } from "./store.ts";
import { placeOf, type Feature, type Geometry } from "../base/entry.ts";
import { request, type Connection } from "./connection.ts";
import { noCounters } from "./counters.ts";
import { of } from "./sent.ts";
import { invalid, notEnrolled } from "./errors.ts";
import { newID } from "../base/uuid.ts";

/** As many as the server takes of one phone before the office has accepted some. */
export const begunAtMost = 20;
const nameBytes = 200;

/** The ids under which a property's features are kept: its own, and those that were merged into it. */
export function partsOf(properties: readonly Property[], id: string): readonly string[] {
  const root = properties.find((p) => p.id === id)?.into ?? id;
  return [root, ...properties.filter((p) => p.into === root).map((p) => p.id)];
}

/**
 * What is known after the server has spoken: of all that the phone may reach, or of one. What
 * it does not name stays; it is barred, but for what was begun here and has not come there yet.
 */
export function afterTold(known: readonly Property[], about: readonly Property[], all: boolean): readonly Property[] {
  const told = new Map(about.map((p) => [p.id, plain(p)]));
  const kept = known.map((p) => {
    const now = told.get(p.id);
    told.delete(p.id);
    return now ?? (all && !p.begun ? { ...plain(p), barred: true } : p);
  });
  return [...kept, ...told.values()];
}

function plain({ id, name, begun, into }: Property): Property {
  return { id, name, ...(begun && { begun }), ...(into && { into }) };
}

/** Keeps what the server says; null when it is known already. */
export function told(db: Connection, about: readonly Property[], all: boolean): Promise<readonly Property[] | null> {
  return db.write(["selves"], async (tx) => {
    const self = await tx.objectStore("selves").get("self");
    if (!self) return null;
    const properties = afterTold(self.properties, about, all);
    if (JSON.stringify(properties) === JSON.stringify(self.properties)) return null;
    request(tx.objectStore("selves").put({ ...self, properties }, "self"));
    return properties;
  });
}

/** Begins a property on this phone alone. */
export async function beginProperty(db: Connection, name: string, now: Date): Promise<Property> {
  const tidy = name.trim().replace(/\s+/g, " ");
  if (tidy === "") throw invalid("The property is unnamed.", "Type one; the office can change it.");
  if (new TextEncoder().encode(tidy).length > nameBytes) throw invalid("The name is too long.", "Give at most 200 letters.");
  const property: Property = { id: newID(), name: tidy, begun: true };
  return db.write(["selves"], async (tx, again) => {
    const self = await tx.objectStore("selves").get("self");
    if (!self) throw notEnrolled();
    if (again && self.properties.some((p) => p.id === property.id)) return property; // before the connection was lost
    const same = self.properties.find((p) => !p.into && p.name.toLowerCase() === tidy.toLowerCase());
    if (same) throw invalid(`${same.name} is on this ${device} already.`, "Open it from the list, or give another name.");
    if (self.properties.filter((p) => p.begun).length >= begunAtMost) {
      throw invalid(
        `${begunAtMost} properties begun here wait for the office.`,
        "Record on one of them, and ask the office to accept some.",
      );
    }
    request(
      tx
        .objectStore("selves")
        .put({ ...self, properties: [...self.properties, property], opened: { ...self.opened, [property.id]: now.getTime() } }, "self"),
    );
    return property;
  });
}

/** Notes which property the officer works on now; it gives when each was last opened. */
export function opened(db: Connection, id: string, now: Date): Promise<NonNullable<Self["opened"]>> {
  return db.write(["selves"], async (tx) => {
    const self = await tx.objectStore("selves").get("self");
    if (!self) throw notEnrolled();
    const opened = { ...self.opened, [id]: now.getTime() };
    request(tx.objectStore("selves").put({ ...self, opened }, "self"));
    return opened;
  });
}

/** Ids of properties of which something is on the phone though nobody names them any more. */
export async function strays(db: Connection, self: Self): Promise<readonly Property[]> {
  const [counters, held] = await db.read((open) => Promise.all([open.get("ledger", "ledger"), open.getAllKeys("positions")]));
  const ids = new Set([...Object.keys((counters ?? noCounters).seqs), ...held]);
  for (const { id } of self.properties) ids.delete(id);
  return [...ids].map((id) => ({ id, name: "", barred: true }));
}

/** Enough to tell how far away a property is. */
const places = 40;

export function states(db: Connection, properties: readonly Property[]): Promise<readonly PropertyState[]> {
  return db.read(async (open) => {
    const [drafts, photos, roll] = await Promise.all([
      open.getAllKeys("drafts"),
      open.getAllFromIndex("photos", "waiting"),
      open.get("drafts", "photos"),
    ]);
    const photographed = await Promise.all(photos.map(async (p) => (await open.get("features", p.features[0] ?? ""))?.property));
    const shots = Array.isArray(roll) ? (roll as readonly { readonly property?: string }[]) : [];
    return Promise.all(
      properties.map(async (property): Promise<PropertyState> => {
        const { id } = property;
        const [unsent, last, some] = await Promise.all([
          open.countFromIndex("entries", "waiting", of(id)),
          open.transaction("entries").store.index("mine").openCursor(of(id), "prev"),
          open.getAllFromIndex("features", "property", id, places),
        ]);
        const savedMS = last?.value.savedMS ?? 0;
        return {
          property,
          unsent,
          photosUnsent: photographed.filter((of) => of === id).length,
          recorded: savedMS > 0 ? new Date(savedMS) : null,
          near: some.flatMap((f) => firstPosition(f)),
          begunWork: drafts.some((key) => key.includes(id)) || shots.some((s) => s.property === id),
        };
      }),
    );
  });
}

function firstPosition(feature: Feature): readonly (readonly [number, number])[] {
  const at = feature.struck ? undefined : corner(placeOf(feature));
  return at ? [at] : [];
}

function corner(place: Geometry | undefined): readonly [number, number] | undefined {
  switch (place?.type) {
    case "Point":
      return place.coordinates;
    case "LineString":
      return place.coordinates[0];
    case "Polygon":
      return place.coordinates[0]?.[0];
    default:
      return undefined;
  }
}
