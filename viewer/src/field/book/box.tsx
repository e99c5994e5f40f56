// A number that the pad or a keyboard types. It asks for no keyboard of the phone's own.

import { useEffect, useId, useRef } from "preact/hooks";

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
  const id = useId();
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => {
    const here = document.activeElement;
    // The keyboard's place follows the pad's, but never leaves a control elsewhere on the screen.
    if (active && here instanceof HTMLInputElement && here !== input.current && here.classList.contains("figures")) input.current?.focus();
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
