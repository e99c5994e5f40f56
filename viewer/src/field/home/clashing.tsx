// What two people recorded differently, each item leading to where it is settled.

import { nameOf } from "../../base/names.ts";
import { count } from "../../base/words.ts";
import type { Feature } from "../../base/entry.ts";
import { ItemLink } from "../../ui/icon.tsx";

export function Clashing({ features }: { features: readonly Feature[] }) {
  const all = features.filter((f) => f.clashes.length > 0 && !f.struck);
  if (all.length === 0) return null;
  return (
    <>
      <h2 id="clashing">To settle: {count(all.length, "item", "items")}</h2>
      <ul class="list" aria-labelledby="clashing">
        {all.map((f) => (
          <li key={f.id}>
            <ItemLink to={`#/thing/${f.id}/settle`} of={f} name={nameOf(f, features)}>
              <span class="soft">two people recorded different values</span>
            </ItemLink>
          </li>
        ))}
      </ul>
    </>
  );
}
