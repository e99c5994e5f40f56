// Photos on the screen: small beside each other, and one large.

import { useEffect, useState } from "preact/hooks";
import { compass, day } from "../base/words.ts";
import { device } from "../base/page.ts";
import type { Picture } from "../base/album.ts";
import { type Found, pictureOf, wholePicture } from "../storage/smallphotos.ts";
import type { Store } from "../storage/store.ts";

interface Seen {
  readonly address: string; // of its bytes, within this page
  readonly waits: boolean; // the server does not have it yet
}

type Find = (store: Store, feature: string, sha: string) => Promise<Found | undefined>;

const againMS = 15_000; // a photo comes to the server after the entry that names it

/** A photo's picture: null when it cannot be had, undefined while it is looked for. What cannot be had is looked for again. */
export function usePicture(store: Store, feature: string, sha: string | undefined, find: Find = pictureOf): Seen | null | undefined {
  const [seen, set] = useState<Seen | null | undefined>(undefined);
  useEffect(() => {
    let made: string | undefined;
    let again: ReturnType<typeof setTimeout> | undefined;
    let here = true;
    set(undefined);
    if (sha === undefined) return;
    const look = async () => {
      const found = await find(store, feature, sha).catch(() => undefined);
      if (!here) return;
      made = found && URL.createObjectURL(found.blob);
      set(found && made ? { address: made, waits: found.waits } : null);
      if (!found) again = setTimeout(look, againMS);
    };
    void look();
    return () => {
      here = false;
      clearTimeout(again);
      if (made) URL.revokeObjectURL(made);
    };
  }, [feature, sha]);
  return seen;
}

interface ShownProps {
  readonly store: Store;
  readonly feature: string; // that names it
  readonly sha: string;
  readonly says: string;
}

/** A photo, small where it is not this device's own, or words in its place. */
export function Shown({ store, feature, sha, says }: ShownProps) {
  return <Framed seen={usePicture(store, feature, sha)} says={says} />;
}

const whole: Find = (store, _, sha) => wholePicture(store, sha);

/** A photo as the server has it; until it comes, and where it cannot be had, the small one. */
export function Large({ store, feature, sha, says }: ShownProps) {
  const [small, large] = [usePicture(store, feature, sha), usePicture(store, feature, sha, whole)];
  return (
    <>
      <Framed seen={large ?? small} says={says} />
      {large === null && small && <p>Only the small version is on this {device}, and the server does not give the whole photo now.</p>}
    </>
  );
}

function Framed({ seen, says }: { seen: Seen | null | undefined; says: string }) {
  if (seen) {
    return (
      <span class="shown">
        <img class="photo" src={seen.address} alt={says} />
        {seen.waits && <span class="waits">Not sent yet</span>}
      </span>
    );
  }
  return (
    <span class="photo none" role="img" aria-label={says}>
      {seen === null ? `Not on this ${device}` : "…"}
    </span>
  );
}

interface AlbumProps {
  readonly store: Store;
  readonly pictures: readonly Picture[];
  readonly to: (sha: string) => string; // the address at which a photo opens large
}

/** Photos of an item side by side; each opens large. */
export function Album({ store, pictures, to }: AlbumProps) {
  if (pictures.length === 0) return null;
  return (
    <ul class="album">
      {pictures.map((p) => (
        <li key={p.sha}>
          <a href={to(p.sha)}>
            <Shown store={store} feature={p.feature} sha={p.sha} says={`Photo: ${pictureWords(p)}`} />
            <span class="words">{pictureWords(p)}</span>
          </a>
        </li>
      ))}
    </ul>
  );
}

function pictureWords(p: Picture): string {
  const on = dayWords(p);
  return p.bearingDeg === undefined ? on : `${on}, looking ${compass(p.bearingDeg)}`;
}

/** The day a photo was taken, as far as anybody knows. */
const dayWords = (p: Picture): string => (p.on ? day(p.on) : "Day not known");

const dayByWords = { picture: "by the camera's clock", officer: "entered by hand" } as const;

/** All that is known of a photo: "3 May 2026 (entered by hand), looking east (91°)". */
export const captionOf = (p: Picture): string =>
  dayWords(p) +
  (p.dayBy ? ` (${dayByWords[p.dayBy]})` : "") +
  (p.bearingDeg === undefined ? "" : `, looking ${compass(p.bearingDeg)} (${Math.round(p.bearingDeg)}°)`);
