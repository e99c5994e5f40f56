// A photo on the screen.

import { useEffect, useState } from "preact/hooks";
import { useField } from "../field.ts";
import { pictureBytes } from "./small.ts";

/** The address of a photo's bytes within this page: null when they cannot be had, undefined while they are looked for. */
export function usePicture(feature: string, sha: string | undefined): string | null | undefined {
  const { shelf } = useField();
  const [address, set] = useState<string | null | undefined>(undefined);
  useEffect(() => {
    let made: string | undefined;
    let here = true;
    set(undefined);
    if (sha === undefined) return;
    pictureBytes(shelf, feature, sha).then(
      (blob) => {
        if (!here) return;
        made = blob && URL.createObjectURL(blob);
        set(made ?? null);
      },
      () => here && set(null),
    );
    return () => {
      here = false;
      if (made) URL.revokeObjectURL(made);
    };
  }, [feature, sha]);
  return address;
}

/** A photo, or words in its place. */
export function Shown({ feature, sha, says }: { feature: string; sha: string; says: string }) {
  const address = usePicture(feature, sha);
  if (address) return <img class="photo" src={address} alt={says} />;
  return (
    <span class="photo none" role="img" aria-label={says}>
      {address === null ? "Not on this phone" : "…"}
    </span>
  );
}
