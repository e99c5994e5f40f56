// A question about a number that can hardly be meant, above the pad on which it is answered:
// by a tap, or by another number.

import { useEffect, useRef } from "preact/hooks";
import { Button } from "../kit/button.tsx";
import { intoSight } from "../kit/insight.ts";

export function Question({ words, yes, confirm }: { words: string; yes: string; confirm: () => void }) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => void (box.current && intoSight(box.current)), [words]);
  return (
    <div ref={box} class="question" role="alert">
      <p>{words} If not, key the right one.</p>
      <Button wide press={confirm}>{yes}</Button>
    </div>
  );
}
