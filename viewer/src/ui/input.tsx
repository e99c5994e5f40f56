// Fields that are typed. The label stays in sight, the unit stands beside the figure, and
// what is wrong is said under the field and tied to it.

import type { ComponentChildren } from "preact";
import { day, dayOf } from "../base/words.ts";
import { Button } from "./button.tsx";
import { useOwnID } from "./hooks.ts";

interface InputProps {
  readonly label: string;
  readonly value: string;
  readonly change: (text: string) => void;
  readonly hint?: string | undefined;
  readonly wrong?: string | undefined; // what is wrong and what to do
  readonly required?: boolean;
  readonly plain?: boolean; // without a word that it may be left: its hint says so
}

interface TextInputProps extends InputProps {
  readonly long?: boolean;
  readonly enter?: () => void; // what the Enter key does
}

export function TextInput({ label, value, change, hint, wrong, required, plain, long, enter }: TextInputProps) {
  return (
    <Labelled label={label} hint={hint} wrong={wrong} required={required ?? false} plain={plain ?? false}>
      {(ids) =>
        long ? (
          <textarea {...ids} rows={3} value={value} onInput={(e) => change(e.currentTarget.value)} />
        ) : (
          <input
            {...ids}
            type="text"
            autocomplete="off"
            value={value}
            onInput={(e) => change(e.currentTarget.value)}
            onKeyDown={(e) => e.key === "Enter" && enter?.()}
          />
        )
      }
    </Labelled>
  );
}

/** A number as text, so that half a number can be typed; numberIn reads it. */
export function NumberInput({ label, value, change, hint, wrong, required, unit }: InputProps & { unit?: string | undefined }) {
  return (
    <Labelled label={label} hint={hint} wrong={wrong} required={required ?? false}>
      {(ids) => (
        <span class="measure">
          <input {...ids} type="text" inputMode="decimal" autocomplete="off" value={value} onInput={(e) => change(e.currentTarget.value)} />
          {unit && <span class="unit">{unit}</span>}
        </span>
      )}
    </Labelled>
  );
}

export function DateInput({ label, value, change, hint, wrong, required }: InputProps) {
  return (
    <Labelled label={label} hint={hint} wrong={wrong} required={required ?? false}>
      {(ids) => <input {...ids} type="date" value={value} onInput={(e) => change(e.currentTarget.value)} />}
    </Labelled>
  );
}

/** A day, and a button for the one that it mostly is: it is chosen, never presumed. */
export function DayInput(props: InputProps) {
  const today = dayOf(new Date());
  return (
    <>
      {props.value !== today && (
        <div class="stack">
          <Button press={() => props.change(today)}>
            {props.label}: today, {day(today)}
          </Button>
        </div>
      )}
      <DateInput {...props} />
    </>
  );
}

interface Ids {
  readonly id: string;
  readonly "aria-describedby": string | undefined;
  readonly "aria-invalid": boolean | undefined;
  readonly required: boolean;
}

function Labelled(props: {
  label: string;
  hint?: string | undefined;
  wrong?: string | undefined;
  required: boolean;
  plain?: boolean;
  children: (ids: Ids) => ComponentChildren;
}) {
  const id = useOwnID();
  const notes = [props.hint && `${id}-hint`, props.wrong && `${id}-wrong`].filter(Boolean).join(" ");
  return (
    <div class="input">
      <label for={id}>
        {props.label}
        {!props.required && !props.plain && <span class="soft"> (if known)</span>}
      </label>
      {props.children({
        id,
        "aria-describedby": notes || undefined,
        "aria-invalid": props.wrong ? true : undefined,
        required: props.required,
      })}
      {props.hint && (
        <p id={`${id}-hint`} class="soft note">
          {props.hint}
        </p>
      )}
      {props.wrong && (
        <p id={`${id}-wrong`} class="wrong">
          {props.wrong}
        </p>
      )}
    </div>
  );
}
