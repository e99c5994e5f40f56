// Photos on the screen.

import { useEffect, useState } from "preact/hooks";
import { compass, day } from "../../base/words.ts";
import { useField } from "../context/field.ts";
import type { Picture } from "../../base/album.ts";
import { pictureOf } from "../../storage/smallphotos.ts";

interface Seen {
  readonly address: string; // of its bytes, within this page
  readonly waits: boolean; // the server does not have it yet
}

/** A photo's picture: null when it cannot be had, undefined while it is looked for. */
export function usePicture(feature: string, sha: string | undefined): Seen | null | undefined {
  const { store } = useField();
  const [seen, set] = useState<Seen | null | undefined>(undefined);
  useEffect(() => {
    let made: string | undefined;
    let here = true;
    set(undefined);
    if (sha === undefined) return;
    pictureOf(store, feature, sha).then(
      (found) => {
        if (!here) return;
        made = found && URL.createObjectURL(found.blob);
        set(found && made ? { address: made, waits: found.waits } : null);
      },
      () => here && set(null),
    );
    return () => {
      here = false;
      if (made) URL.revokeObjectURL(made);
    };
  }, [feature, sha]);
  return seen;
}

/** A photo, or words in its place. */
export function Shown({ feature, sha, says }: { feature: string; sha: string; says: string }) {
  const seen = usePicture(feature, sha);
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
      {seen === null ? "Not on this phone" : "…"}
    </span>
  );
}

/** Photos of a thing side by side; each opens large. */
export function Album({ of, pictures }: { of: string; pictures: readonly Picture[] }) {
  return (
    <ul class="album">
      {pictures.map((p) => (
        <li key={p.sha}>
          <a href={`#/photo/${of}/${p.sha}`}>
            <Shown feature={p.feature} sha={p.sha} says={`Photo: ${pictureWords(p)}`} />
            <span class="words">{pictureWords(p)}</span>
          </a>
        </li>
      ))}
    </ul>
  );
}

export function pictureWords(p: Picture): string {
  const on = dayWords(p);
  return p.bearingDeg === undefined ? on : `${on}, looking ${compass(p.bearingDeg)}`;
}

/** The day a photo was taken, as far as anybody knows. */
export const dayWords = (p: Picture): string => (p.on ? day(p.on) : "Day not known");
