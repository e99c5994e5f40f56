// One field of a form, by its type.

import { unitInWords } from "../../land/unit.ts";
import { kindNamed, type Field } from "../app/kinds.ts";
import { called } from "../app/words.ts";
import { kindOf, textOf, type Feature } from "../entry.ts";
import { Choice, YesNo } from "../kit/choice.tsx";
import { DateInput, NumberInput, TextInput } from "../kit/input.tsx";
import { numberIn } from "../kit/number.ts";
import { Ask } from "./ask.tsx";
import { meantBy } from "./meant.ts";

interface FieldInputProps {
  readonly field: Field;
  readonly answer: string;
  readonly change: (answer: string) => void;
  readonly wrong?: string | undefined;
  readonly features: readonly Feature[];
}

export function FieldInput({ field, answer, change, wrong, features }: FieldInputProps) {
  const { label, hint, required } = field;
  const given = { label, hint, wrong, value: answer, change, ...(required ? { required } : {}) };
  switch (field.type) {
    case "number":
    case "integer":
      return (
        <>
          <NumberInput {...given} unit={unitInWords(field.unit)} />
          {wrong && <Ask meant={meantBy(field, numberIn(answer) ?? 0)} write={change} />}
        </>
      );
    case "date":
      return <DateInput {...given} />;
    case "yes-no":
      return <YesNo label={label} hint={hint} value={answer === "" ? undefined : answer === "yes"} pick={(yes) => change(yes === undefined ? "" : yes ? "yes" : "no")} />;
    case "choice":
      return <Choice label={label} hint={hint} of={(field.choices ?? []).map((c) => ({ value: c, label: sentence(c) }))} value={answer || undefined} pick={(v) => change(v ?? "")} />;
    case "feature":
      return <ReferenceInput {...given} field={field} features={features} />;
    default:
      return <TextInput {...given} long={field.name === "notes"} />;
  }
}

const sentence = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

const mostOffered = 8;

/** One of the things of the property that the field can mean, the newest first. */
function ReferenceInput({ field, value, change, features }: { field: Field; value: string; change: (id: string) => void; features: readonly Feature[] }) {
  const meant = kindsMeant[field.name];
  const fits = features.filter((f) => !f.struck && (meant?.includes(kindOf(f)) ?? true));
  const offered = fits.slice().sort((a, b) => (a.id === value ? -1 : b.id === value ? 1 : a.stamp < b.stamp ? 1 : -1)).slice(0, mostOffered);
  if (offered.length === 0) return null; // nothing to choose from
  return (
    <Choice
      label={field.label}
      of={offered.map((f, i) => ({ value: f.id, label: called(textOf(f, "name"), `${kindNamed(kindOf(f)).label} ${i + 1}`) }))}
      value={value || undefined}
      pick={(id) => change(id ?? "")}
    />
  );
}

const kindsMeant: { readonly [field: string]: readonly string[] } = { thalweg: ["thalweg"], track: ["track", "fence"] };
