// Pieces of screens that say rather than ask.

import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { grouped } from "../base/words.ts";

/** Fields that are seldom needed, folded away under a word that says what they are. They are made when they are first looked at. */
export function Fold({ title, children, open }: { title: string; children: ComponentChildren; open?: boolean }) {
  const [made, setMade] = useState(false);
  return (
    <details class="fold" open={open ?? false} onToggle={(e) => e.currentTarget.open && setMade(true)}>
      <summary>{title}</summary>
      {(made || open) && <div class="folded">{children}</div>}
    </details>
  );
}

/** Something to mind: about safety, permits, or how far a figure can be trusted. */
export function Caution({ children }: { children: ComponentChildren }) {
  return <p class="caution">{children}</p>;
}

/** Something went wrong: what, and what to do. */
export function Trouble({ what, todo, children }: { what: string; todo?: string; children?: ComponentChildren }) {
  return (
    <div class="trouble" role="alert">
      <p>
        <strong>{what}</strong>
      </p>
      {todo && <p>{todo}</p>}
      {children}
    </div>
  );
}

/** How far long work has come; of is undefined when nobody knows how much there is. */
export function Progress({ label, done, of }: { label: string; done: number; of: number | undefined }) {
  const words = of === undefined ? grouped(done) : `${grouped(done)} of ${grouped(of)}`;
  return (
    <div class="progress">
      <label>
        {label}
        <progress value={of === undefined ? undefined : done} max={of} aria-valuetext={words} />
      </label>
      <span class="soft" aria-hidden="true">
        {words}
      </span>
    </div>
  );
}

/** The mark of a kind, drawn from the shape of the thing. */
export function Mark({ path, colour }: { path: string | undefined; colour: string }) {
  return (
    <svg class="mark" viewBox="0 0 24 24" aria-hidden="true">
      <path d={path ?? "M12 7a5 5 0 1 0 .1 0"} stroke={colour} />
    </svg>
  );
}
