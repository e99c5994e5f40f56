// What was perhaps meant by a number, each a button that writes it.

import { Button, Row } from "./button.tsx";
import type { Meant } from "../survey/form/meant.ts";

interface AskProps {
  readonly question?: string; // when it is not said above
  readonly meant: readonly Meant[];
  readonly write: (text: string) => void;
  readonly keep?: { readonly words: string; readonly press: () => void }; // it is as typed
}

export function Ask({ question, meant, write, keep }: AskProps) {
  if (!question && meant.length === 0) return null;
  return (
    <div class={question ? "caution" : undefined} data-ask>
      {question && <p>{question}</p>}
      <Row label="What was meant">
        {meant.map((m) => (
          <Button key={m.words} press={() => write(m.text)}>
            {m.words}: write {m.text} m
          </Button>
        ))}
        {keep && <Button press={keep.press}>{keep.words}</Button>}
      </Row>
    </div>
  );
}
