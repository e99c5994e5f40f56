// How a number came about, chosen beside it with one tap: never presumed, and never passed
// over in silence. That nobody knows is a choice too; it is saved as nothing.

import { capital } from "../base/words.ts";
import { type Basis, basisWords, notKnown } from "../base/basis.ts";
import type { Field } from "../base/kinds.ts";
import { Choice } from "./choice.tsx";

interface HowProps {
  readonly field: Field; // that tells it
  readonly answer: string;
  readonly change: (answer: string) => void;
  readonly wrong?: string | undefined;
}

export function How({ field, answer, change, wrong }: HowProps) {
  const ways = (field.choices ?? []).map((c) => ({ value: c, label: capital(basisWords[c as Basis] ?? c) }));
  return (
    <div class="how">
      <Choice
        required
        label={field.label}
        of={[...ways, { value: notKnown, label: "Not known" }]}
        value={answer}
        pick={(v) => change(v ?? "")}
        wrong={wrong}
      />
    </div>
  );
}
