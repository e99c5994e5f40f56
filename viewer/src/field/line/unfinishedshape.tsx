// A shape or a position whose editing was cut off when the page was closed or killed.

import { nameOf } from "../app/names.ts";
import { placeOf, type Feature } from "../entry.ts";

export function UnfinishedShape({ id, stamp, features }: { id: string; stamp: string; features: readonly Feature[] }) {
  const item = features.find((f) => f.id === id);
  if (item?.stamp !== stamp) return null; // of another property, or changed since
  return (
    <p class="caution">
      You were editing the {placeOf(item)?.type === "Point" ? "position" : "shape"} of {nameOf(item, features)}. It is not saved yet.
      <a class="button wide" href={`#/shape/${id}`}>Continue</a>
    </p>
  );
}
