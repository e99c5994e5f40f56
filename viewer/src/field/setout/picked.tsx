// What is pegged from, in, or on: said on a button above the pad, and chosen behind it. While
// it is chosen the pad makes room.

import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { Button } from "../../ui/button.tsx";
import { intoSight } from "../../ui/insight.ts";

export function Picked({ words, children }: { words: ComponentChildren; children: (close: () => void) => ComponentChildren }) {
  const [open, setOpen] = useState(false);
  return (
    <>
      <button type="button" class="b-plain wide picked" aria-expanded={open} onClick={() => setOpen(!open)}>
        {words}
      </button>
      {open && (
        <div class="picking">
          {children(() => setOpen(false))}
          <Button wide press={() => setOpen(false)}>
            Close
          </Button>
        </div>
      )}
    </>
  );
}

/** A question that stands above the pad: when it comes, it is brought into sight with it. */
export function Asked({ words, children }: { words: string; children: () => ComponentChildren }) {
  const place = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    if (place.current) intoSight(place.current);
  }, []);
  return (
    <div class="asked" ref={place}>
      <Picked words={words}>{children}</Picked>
    </div>
  );
}
