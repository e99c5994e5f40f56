// What is pegged from, in, or on: said on a button above the pad, and chosen behind it. While
// it is chosen the pad makes room.

import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { Button } from "../kit/button.tsx";

export function Picked({ words, children }: { words: ComponentChildren; children: (close: () => void) => ComponentChildren }) {
  const [open, setOpen] = useState(false);
  return (
    <>
      <button type="button" class="b-plain wide picked" aria-expanded={open} onClick={() => setOpen(!open)}>{words}</button>
      {open && <div class="picking">{children(() => setOpen(false))}<Button wide press={() => setOpen(false)}>Close</Button></div>}
    </>
  );
}
