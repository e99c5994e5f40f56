// The form of a kind: few fields first, the rest folded away.

import { fieldsOf, type Field, type Kind } from "../../base/kinds.ts";
import type { Feature } from "../../base/entry.ts";
import { Fold } from "../../ui/panel.tsx";
import type { Fixed } from "../../survey/form/beside.ts";
import { FieldInput } from "./fieldinput.tsx";
import type { Line } from "../../survey/setout/lineends.ts";
import { countsFrom } from "../../survey/levelbook/chainage.ts";
import { useField } from "../context/field.ts";
import { useSection } from "../../item/usesheet.ts";
import { rowsOf, type Form } from "../../survey/form/form.ts";

interface FormFieldsProps {
  readonly kind: Kind;
  readonly label?: (field: Field) => string; // what this item calls a field, where its kind does not
  readonly form: Form;
  readonly wrong: { readonly [field: string]: string };
  readonly change: (field: string, answer: string) => void;
  readonly features: readonly Feature[];
  readonly at: Fixed | undefined; // where the item stands
  readonly pieces?: readonly Line[] | undefined; // of the item's own line, to say on it which end is meant
  readonly without?: readonly string[]; // fields that another screen asks
}

export function FormFields({ kind, label, form, wrong, change, features, at, pieces, without }: FormFieldsProps) {
  const { first, more } = rowsOf(kind, form, without);
  const all = fieldsOf(kind);
  const answer = (name: string) => form.answers[name] ?? "";
  const counts = countsFrom(useSection(useField(), answer("thalweg")));
  const said = (field: Field) => {
    const named = label ? { ...field, label: label(field) } : field;
    return field.name === "chainageM" && counts ? { ...named, hint: `along the thalweg, ${counts}, as its bed was booked` } : named;
  };
  const input = (field: (typeof first)[number]) => {
    const how = all.find((f) => f.name === field.basis);
    return (
      <FieldInput
        key={field.name}
        field={said(field)}
        answer={answer(field.name)}
        wrong={wrong[field.name]}
        carried={form.carried[field.name]}
        how={how && { field: how, answer: answer(how.name), change: (a) => change(how.name, a), wrong: wrong[how.name] }}
        change={(a) => change(field.name, a)}
        features={features}
        at={at}
        pieces={pieces}
      />
    );
  };
  return (
    <>
      {first.map(input)}
      <Fold title="More about it" open={more.some((f) => wrong[f.name] || (f.basis && wrong[f.basis]) || form.touched.includes(f.name))}>
        {more.map(input)}
      </Fold>
    </>
  );
}
