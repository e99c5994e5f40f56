// What a part of a visit's form is given, and the question about a length that can hardly be.

import { numberIn } from "../../base/number.ts";
import { meantBy } from "../../survey/form/meant.ts";
import { type Form, type FormAction, type Measure, measured } from "../../survey/visit/form.ts";
import type { Implausible } from "../../survey/visit/plausibility.ts";
import { Ask } from "../../ui/meant.tsx";

export interface PartProps {
  readonly form: Form;
  readonly act: (action: FormAction) => void;
  readonly wrong: string | undefined;
  readonly doubt: Implausible | undefined;
}

/** What was perhaps meant by a length that cannot be, or hardly. */
export function Meaning({ form, act, wrong, doubt, measure }: PartProps & { measure: Measure }) {
  const { field } = measured(form, measure);
  const write = (text: string) => act({ do: "type", field: measure, text });
  if (doubt)
    return (
      <Ask
        question={doubt.question}
        meant={doubt.meant}
        write={write}
        keep={{ words: `It is ${doubt.metres} m`, press: () => act({ do: "sure", measure }) }}
      />
    );
  return wrong ? <Ask meant={meantBy(field, numberIn(form[measure]) ?? 0)} write={write} /> : null;
}
