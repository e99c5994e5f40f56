// One of a few, each a button: no list that opens, which gloves miss.

import { useOwnID } from "./hooks.ts";

interface ChoiceProps {
  readonly label: string;
  readonly of: readonly { readonly value: string; readonly label: string }[];
  readonly value: string | undefined;
  readonly pick: (value: string | undefined) => void;
  readonly required?: boolean;
  readonly none?: string; // the button that clears what is chosen
  readonly hint?: string | undefined;
  readonly wrong?: string | undefined; // that none is chosen, where one must be
}

export function Choice({ label, of, value, pick, required, none = "Not known", hint, wrong }: ChoiceProps) {
  const id = useOwnID();
  return (
    <fieldset class="choice" aria-invalid={wrong ? true : undefined} aria-describedby={wrong ? `${id}-wrong` : undefined}>
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
            onClick={() => one.value !== value && pick(one.value)} // a second tap of a glove clears nothing
          >
            {one.label}
          </button>
        ))}
        {!required && of.some((one) => one.value === value) && (
          <button type="button" class="b-quiet" aria-label={`${none}: clear ${label.toLowerCase()}`} onClick={() => pick(undefined)}>
            {none}
          </button>
        )}
      </div>
      {wrong && (
        <p id={`${id}-wrong`} class="wrong">
          {wrong}
        </p>
      )}
    </fieldset>
  );
}

export function YesNo({
  label,
  value,
  pick,
  hint,
  required = false,
}: {
  label: string;
  value: boolean | undefined;
  pick: (value: boolean | undefined) => void;
  hint?: string | undefined;
  required?: boolean;
}) {
  return (
    <Choice
      label={label}
      hint={hint}
      required={required}
      of={[
        { value: "yes", label: "Yes" },
        { value: "no", label: "No" },
      ]}
      value={value === undefined ? undefined : value ? "yes" : "no"}
      pick={(v) => pick(v === undefined ? undefined : v === "yes")}
    />
  );
}
