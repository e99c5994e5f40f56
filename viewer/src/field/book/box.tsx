// A number that the pad or a keyboard types. It asks for no keyboard of the phone's own.

import { useEffect, useRef } from "preact/hooks";
import { useOwnID } from "../kit/ownid.ts";

interface NumberBoxProps {
  readonly label: string;
  readonly value: string;
  readonly unit?: string;
  readonly large?: boolean;
  readonly active: boolean; // where the pad types
  readonly take: () => void;
  readonly change: (text: string) => void;
  readonly note?: string | undefined;
}

export function NumberBox({ label, value, unit = "m", large, active, take, change, note }: NumberBoxProps) {
  const id = useOwnID();
  const input = useRef<HTMLInputElement>(null);
  const shown = useRef(false);
  useEffect(() => {
    const here = document.activeElement;
    // A keyboard goes where the pad types, also when the box it was in has gone; it never leaves a button.
    const follows = here?.classList.contains("figures") || (shown.current && here === document.body);
    shown.current = true;
    if (active && follows && here !== input.current) input.current?.focus();
  }, [active]);
  return (
    <div class={`numberbox${large ? " large" : ""}${active ? " active" : ""}`}>
      <label for={id}>{label}</label>
      <span class="measure">
        <input
          ref={input}
          id={id}
          class="figures"
          type="text"
          inputMode="none"
          autocomplete="off"
          enterkeyhint="done"
          value={value}
          aria-describedby={note ? `${id}-note` : undefined}
          onFocus={take}
          onInput={(e) => {
            const typed = e.currentTarget.value;
            change(typed);
            if (e.currentTarget.value === typed) e.currentTarget.value = typed;
          }}
        />
        <span class="unit">{unit}</span>
      </span>
      {note && <span id={`${id}-note`} class="soft note">{note}</span>}
    </div>
  );
}

/** Enter in a number box books; a form of several fields has no such habit of its own. */
export function onEnter(e: KeyboardEvent, enter: () => void): void {
  if (e.key !== "Enter" || !(e.target instanceof HTMLInputElement) || !e.target.classList.contains("figures")) return;
  e.preventDefault();
  enter();
}
