// One field of a form, by its type.

import { type Field, unitInWords } from "../../base/kinds.ts";
import { capital } from "../../base/words.ts";
import { kindOf, type Feature } from "../../base/entry.ts";
import { Choice, YesNo } from "../../ui/choice.tsx";
import { DayInput, NumberInput, TextInput } from "../../ui/input.tsx";
import { numberIn } from "../../base/number.ts";
import { LineZero } from "../part/linezero.tsx";
import { ItemChooser } from "../part/itemchooser.tsx";
import { Ask } from "../../ui/meant.tsx";
import type { Line } from "../../survey/setout/lineends.ts";
import type { Fixed } from "../../survey/form/beside.ts";
import { referredKinds } from "../../survey/form/form.ts";
import { How } from "../../ui/basischoice.tsx";
import { meantBy } from "../../survey/form/meant.ts";

interface FieldInputProps {
  readonly field: Field;
  readonly answer: string;
  readonly change: (answer: string) => void;
  readonly wrong?: string | undefined;
  readonly carried?: string | undefined; // where the answer came from that nobody typed here
  readonly how?:
    | { readonly field: Field; readonly answer: string; readonly change: (answer: string) => void; readonly wrong?: string | undefined }
    | undefined;
  readonly features: readonly Feature[];
  readonly at?: Fixed | undefined; // where the item stands
  readonly pieces?: readonly Line[] | undefined; // the item's own line
}

export function FieldInput(props: FieldInputProps) {
  const { carried, how, answer } = props;
  const input = <Input {...props} />;
  const measured = how && answer !== "" && <How {...how} />;
  if (!carried)
    return (
      <>
        {input}
        {measured}
      </>
    );
  return (
    <div class="carried" data-carried={props.field.name}>
      {input}
      <p class="note">{capital(carried)}. Saving confirms it here.</p>
      {measured}
    </div>
  );
}

function Input({ field, answer, change, wrong, features, at, pieces }: FieldInputProps) {
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
      return <DayInput {...given} />;
    case "yes-no":
      return (
        <YesNo
          label={label}
          hint={hint}
          value={answer === "" ? undefined : answer === "yes"}
          pick={(yes) => change(yes === undefined ? "" : yes ? "yes" : "no")}
        />
      );
    case "choice":
      if (field.name === "chainageZero" && pieces)
        return <LineZero pieces={pieces} label={label} value={answer} here={null} pick={(end) => change(end ?? "")} />;
      return (
        <Choice
          label={label}
          hint={hint}
          of={(field.choices ?? []).map((c) => ({ value: c, label: capital(c) }))}
          value={answer || undefined}
          pick={(v) => change(v ?? "")}
        />
      );
    case "feature":
      return <ReferenceInput {...given} field={field} features={features} at={at} />;
    default:
      return <TextInput {...given} long={field.name === "notes"} plain={field.name === "notes"} />;
  }
}

/** One of the things of the property that the field can mean, the nearest first. */
function ReferenceInput({
  field,
  value,
  change,
  features,
  at,
}: {
  field: Field;
  value: string;
  change: (id: string) => void;
  features: readonly Feature[];
  at: Fixed | undefined;
}) {
  const kinds = referredKinds[field.name];
  const items = features.filter((f) => !f.struck && (f.id === value || kinds?.includes(kindOf(f))));
  if (items.length === 0) return null; // nothing to choose from
  return <ItemChooser label={field.label} items={items} value={value || undefined} pick={change} at={at} />;
}
