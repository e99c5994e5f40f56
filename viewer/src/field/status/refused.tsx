// Entries that the server did not take, and why. They stay on the phone.

import { useState } from "preact/hooks";
import { nameOf } from "../../base/names.ts";
import { count } from "../../base/words.ts";
import { useField } from "../context/field.ts";
import type { Refusal } from "../../storage/store.ts";
import { useAsking } from "../../ui/hooks.ts";
import { ItemLink } from "../../ui/icon.tsx";

export function Refused({ n }: { n: number }) {
  const field = useField();
  const [refusals, set] = useState<readonly Refusal[]>([]);
  useAsking(() => field.store.refusals(), [n], set);
  return (
    <>
      <h2>{count(n, "entry", "entries")} refused by the server</h2>
      <ul class="list">
        {refusals.map((r) => {
          const f = field.features.find((one) => one.id === r.feature);
          const name = f ? nameOf(f, field.features) : "An item of another property";
          return (
            <li key={r.entry}>
              <ItemLink to={`#/thing/${r.feature}/edit`} name={name}>
                <span class="wrong">{r.why}</span>
              </ItemLink>
            </li>
          );
        })}
      </ul>
      <p class="soft">They are kept on this phone. Edit the item, and the edit is sent.</p>
    </>
  );
}
