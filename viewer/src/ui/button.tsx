// What a gloved thumb presses. Every button is at least 56 px, the main one of a screen 64.

import type { ComponentChildren } from "preact";

interface ButtonProps {
  readonly children: ComponentChildren;
  readonly press: () => void;
  readonly disabled?: boolean;
  /** "main" is the one that saves or goes on: there is one on a screen. */
  readonly rank?: "main" | "plain" | "quiet";
  readonly wide?: boolean;
  readonly pressed?: boolean; // of a choice that stays
  readonly label?: string; // what a screen reader says, where the face is a sign
}

export function Button({ children, press, disabled, rank = "plain", wide, pressed, label }: ButtonProps) {
  return (
    <button
      type="button"
      class={`b-${rank}${wide ? " wide" : ""}`}
      onClick={press}
      disabled={disabled ?? false}
      aria-pressed={pressed}
      aria-label={label}
    >
      {children}
    </button>
  );
}

/** Buttons side by side, or one above the other where they do not fit. */
export function Row({ children, label }: { children: ComponentChildren; label?: string }) {
  const group = label ? { role: "group" as const, "aria-label": label } : {};
  return (
    <div class="row" {...group}>
      {children}
    </div>
  );
}
