// The photos of a thing, its own and those of the visits to it.

import type { Feature } from "../entry.ts";
import { useField } from "../field.ts";
import { album } from "../picture/album.ts";
import { Album } from "../picture/show.tsx";

export function Photos({ feature }: { feature: Feature }) {
  const { features } = useField();
  const pictures = album(feature.id, features);
  if (pictures.length === 0) return null;
  return (
    <>
      <h2>Photos</h2>
      <Album of={feature.id} pictures={pictures} />
    </>
  );
}
