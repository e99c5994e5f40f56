// A number that the pad or a keyboard types. It asks for no keyboard of the phone's own.

import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { intoSight } from "./insight.ts";
import { useOwnID } from "./hooks.ts";

interface NumberBoxProps {
  readonly label: string;
  readonly value: string;
  readonly unit?: string;
  readonly large?: boolean;
  readonly active: boolean; // where the pad types
  readonly suggested?: boolean; // nobody keyed the value: the first key replaces it
  readonly take: () => void;
  readonly change: (text: string) => void;
  readonly note?: string | undefined;
  readonly calm?: boolean; // something else on the screen comes first, until a key is pressed
}

export function NumberBox({ label, value, unit = "m", large, active, suggested, take, change, note, calm }: NumberBoxProps) {
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
  useLayoutEffect(() => {
    // at once: a key that comes before would be selected with it
    if (active && suggested && document.activeElement === input.current) input.current?.select(); // a keyboard replaces it too
  }, [active, suggested, value]);
  // The pad with what it types, and the rows before it, come back into sight when a key is pressed.
  useLayoutEffect(() => {
    const here = input.current;
    const pad = here?.closest<HTMLElement>(".padbar");
    if (active && pad) keyedIntoSight(pad);
  }, [active, value, calm]);
  const about = note ?? (suggested ? "proposed" : undefined);
  return (
    <div
      class={`numberbox${large ? " large" : ""}${active ? " active" : ""}${suggested ? " suggested" : ""}`}
      data-calm={calm && value === ""}
    >
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
          aria-describedby={about ? `${id}-note` : undefined}
          onFocus={(e) => {
            take();
            if (suggested) e.currentTarget.select();
          }}
          onInput={(e) => {
            const typed = e.currentTarget.value;
            change(typed);
            if (e.currentTarget.value === typed) e.currentTarget.value = typed;
          }}
        />
        <span class="unit">{unit}</span>
      </span>
      {about && (
        <span id={`${id}-note`} class="soft note">
          {about}
        </span>
      )}
    </div>
  );
}

/** Brings the pad with what it types into sight, and the rows, the question or the dangers before it, where it stays at the thumb or would but for want of room. */
export function keyedIntoSight(pad: HTMLElement): void {
  if (pad.querySelector(".numberbox.active[data-calm=true]")) return;
  const sheet = pad.parentElement;
  const before = sheet?.querySelector<HTMLElement>(".asked, .lastrows");
  if (sheet?.classList.contains("crowded")) intoSight(pad, before ?? sheet.querySelector<HTMLElement>(".mind"));
  else if (getComputedStyle(pad).position === "sticky") intoSight(before?.matches(".lastrows") ? before : pad);
}

/** Enter in a number box books; a form of several fields has no such habit of its own. */
export function onEnter(e: KeyboardEvent, enter: () => void): void {
  if (e.key !== "Enter" || !(e.target instanceof HTMLInputElement) || !e.target.classList.contains("figures")) return;
  e.preventDefault();
  enter();
}
