// One of a few, each a button: no list that opens, which gloves miss.

import { useOwnID } from "./ownid.ts";

interface ChoiceProps {
  readonly label: string;
  readonly of: readonly { readonly value: string; readonly label: string }[];
  readonly value: string | undefined;
  readonly pick: (value: string | undefined) => void;
  readonly required?: boolean;
  readonly hint?: string | undefined;
  readonly wrong?: string | undefined; // that none is chosen, where one must be
}

export function Choice({ label, of, value, pick, required, hint, wrong }: ChoiceProps) {
  const id = useOwnID();
  return (
    <fieldset class="choice" aria-describedby={wrong ? `${id}-wrong` : undefined}>
      <legend>
        {label}
        {hint && <span class="soft"> ({hint})</span>}
      </legend>
      <div class="row">
        {of.map((one) => (
          <button
            key={one.value}
            type="button"
            class="b-plain"
            aria-pressed={one.value === value}
            onClick={() => pick(one.value === value && !required ? undefined : one.value)}
          >
            {one.label}
          </button>
        ))}
      </div>
      {wrong && <p id={`${id}-wrong`} class="wrong">{wrong}</p>}
    </fieldset>
  );
}

export function YesNo({ label, value, pick, hint }: { label: string; value: boolean | undefined; pick: (value: boolean | undefined) => void; hint?: string | undefined }) {
  return (
    <Choice
      label={label}
      hint={hint}
      of={[{ value: "yes", label: "Yes" }, { value: "no", label: "No" }]}
      value={value === undefined ? undefined : value ? "yes" : "no"}
      pick={(v) => pick(v === undefined ? undefined : v === "yes")}
    />
  );
}
