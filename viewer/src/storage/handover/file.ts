// The hand-over file: what this phone has and the server does not, for a day on which there
// will be no signal at all. sync/handover reads it; its package comment is the format.

import { dayOf, two } from "../../base/words.ts";
import type { Outbox, Self } from "../store.ts";
import { sealerOf } from "./seal.ts";
import { archive, type Member } from "./tar.ts";

export interface HandoverFile {
  readonly name: string;
  readonly bytes: Blob;
  readonly holds: Holds;
}

/** What a file holds, by the entries' ids and the photos' hashes. */
export interface Holds {
  readonly entries: readonly string[];
  readonly photos: readonly string[];
}

/** Made of everything in the outbox as it stands, each entry with this phone's seal. */
export async function makeFile(
  outbox: Pick<Outbox, "all">,
  self: Pick<Self, "device" | "token" | "author" | "properties">,
  madeAt: Date,
): Promise<HandoverFile> {
  const { entries, photos } = await outbox.all();
  const sealer = await sealerOf(self.token);
  const begun = self.properties.filter((p) => p.begun).map(async ({ id, name }) => ({ id, name, seal: await sealer?.begun(id, name) }));
  const about = {
    format: "headcut hand-over",
    version: 2,
    device: self.device,
    author: self.author,
    madeAt: madeAt.toISOString(),
    entries: entries.length,
    photos: photos.length,
    properties: await Promise.all(begun),
  };
  const lines = await Promise.all(
    entries.map(async ({ property, text }) => JSON.stringify({ property, entry: text, seal: await sealer?.entry(property, text) }) + "\n"),
  );
  const members: Member[] = [
    { name: "about.json", body: new Blob([JSON.stringify(about)]) },
    { name: "entries.ndjson", body: new Blob(lines) },
  ];
  for (const photo of photos) members.push({ name: `photos/${photo.sha}.jpg`, body: new Blob([await photo.bytes()]) });
  return {
    name: fileName(self.author, madeAt),
    bytes: new Blob(archive(members, madeAt), { type: "application/x-tar" }),
    holds: { entries: entries.map(({ text }) => idOf(text)), photos: photos.map((p) => p.sha) },
  };
}

/** "headcut-r-field-2026-03-01-1630.tar": by the phone's own clock. */
export function fileName(author: string, at: Date): string {
  const who = author
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 30);
  const when = `${dayOf(at)}-${two(at.getHours())}${two(at.getMinutes())}`;
  return ["headcut", who, when].filter(Boolean).join("-") + ".tar";
}

export const idOf = (text: string): string => String((JSON.parse(text) as { id?: unknown }).id);
