// Whether the server has an item, and its newest edits: an item that was sent does not stop
// being there because an edit of it waits.

import { useRef, useState } from "preact/hooks";
import { count } from "../../base/words.ts";
import type { Feature } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { useAsking } from "../../ui/hooks.ts";

/** Told until all is sent; the place of the words stays, as it has it while something is pressed. */
export function Unsent({ feature }: { feature: Feature }) {
  const { store } = useField();
  const { id, unsent } = feature;
  const [sent, setSent] = useState<boolean | undefined>(); // whether the server has any entry of it
  const told = useRef(false);
  told.current ||= unsent > 0;
  useAsking(
    () => store.history(id),
    [id, unsent],
    (all) => setSent(all.some((r) => !r.waits)),
  );
  if (!told.current) return null;
  const words = sent ? `${count(Math.max(1, unsent), "edit", "edits")} not sent yet` : "not sent yet";
  return <span class={unsent > 0 && sent !== undefined ? undefined : "unseen"}>, {words}</span>;
}
