// The form of a kind: few fields first, the rest folded away.

import type { Kind } from "../app/kinds.ts";
import type { Feature } from "../entry.ts";
import { Fold } from "../kit/part.tsx";
import { FieldInput } from "./fieldinput.tsx";
import { rowsOf, type Answers } from "./form.ts";

interface FormFieldsProps {
  readonly kind: Kind;
  readonly answers: Answers;
  readonly wrong: { readonly [field: string]: string };
  readonly change: (field: string, answer: string) => void;
  readonly features: readonly Feature[];
}

export function FormFields({ kind, answers, wrong, change, features }: FormFieldsProps) {
  const { first, more } = rowsOf(kind);
  const input = (field: (typeof first)[number]) => (
    <FieldInput key={field.name} field={field} answer={answers[field.name] ?? ""} wrong={wrong[field.name]} change={(a) => change(field.name, a)} features={features} />
  );
  return (
    <>
      {first.map(input)}
      <Fold title="More about it" open={more.some((f) => wrong[f.name])}>{more.map(input)}</Fold>
    </>
  );
}
