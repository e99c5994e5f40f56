// A question about a number that can hardly be meant, above the pad on which it is answered:
// by a tap, or by another number.

import { useEffect, useRef } from "preact/hooks";
import { Button } from "./button.tsx";
import { intoSight } from "./insight.ts";

interface QuestionProps {
  readonly words: string;
  readonly ifNot?: string; // what to do if the answer is no
  readonly yes: string;
  readonly confirm: () => void;
}

export function Question({ words, ifNot = "If not, key the right one.", yes, confirm }: QuestionProps) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(
    () => void (box.current && intoSight(box.current, box.current.parentElement?.querySelector<HTMLElement>(".numberbox"))),
    [words],
  ); // with what was keyed, where there is room for both
  return (
    <div ref={box} class="question" role="alert">
      <p>
        {words} {ifNot}
      </p>
      <Button wide press={confirm}>
        {yes}
      </Button>
    </div>
  );
}
