// The frame of a screen: a way back top left, the heading, what there is to read or fill
// in, and the main actions in the lower third where the thumb is.

import { type ComponentChildren, createContext } from "preact";
import { useContext, useEffect, useRef } from "preact/hooks";
import type { Told } from "../storage/errors.ts";
import { Trouble } from "./panel.tsx";

interface FrameProps {
  readonly title: string;
  readonly children: ComponentChildren;
  /** Buttons for the lower third, above the status strip. */
  readonly actions?: ComponentChildren;
  /** What comes later than the rest: it stands where it pushes nothing that is pressed. */
  readonly late?: ComponentChildren;
  /** What the way back does instead of going back. */
  readonly back?: () => void;
  /** Words under the heading. */
  readonly under?: ComponentChildren;
  /** Where the screen leads, beside the heading: in sight however far it scrolls. */
  readonly onward?: ComponentChildren;
}

export function Frame({ title, children, actions, late, back, under, onward }: FrameProps) {
  const sheet = useRef<HTMLDivElement>(null);
  useScrollStop(sheet);
  return (
    <>
      <header class="head">
        <BackButton press={back} />
        <div>
          <h1 tabIndex={-1}>{title}</h1>
          {under}
        </div>
        {onward && <div class="onward">{onward}</div>}
      </header>
      {late === undefined ? (
        <div class="sheet" ref={sheet}>
          {children}
        </div>
      ) : (
        <div class="sheet two-parts" ref={sheet}>
          <div>{children}</div>
          <div class="late">{late}</div>
        </div>
      )}
      {actions && <div class="actions">{actions}</div>}
    </>
  );
}

/** A screen whose content is being read, or cannot be. */
export function Opening({ title, words = "Opening…", trouble }: { title: string; words?: string; trouble?: Told | null | undefined }) {
  return <Frame title={title}>{trouble ? <Trouble {...trouble} /> : <p>{words}</p>}</Frame>;
}

interface WholeFrameProps {
  readonly title: string;
  readonly children: ComponentChildren;
  readonly actions?: ComponentChildren;
}

/** In place of the whole page, strip and all, while its screens cannot be shown. There is no way back. */
export function WholeFrame({ title, children, actions }: WholeFrameProps) {
  return (
    <main class="screen">
      <header class="head first">
        <h1 tabIndex={-1}>{title}</h1>
      </header>
      <div class="sheet">{children}</div>
      {actions && <div class="actions">{actions}</div>}
    </main>
  );
}

export function BackButton({ press }: { press: (() => void) | undefined }) {
  const back = useContext(BackContext);
  return (
    <button type="button" class="back" onClick={press ?? back} aria-label="Back">
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path d="M15 4l-8 8 8 8" />
      </svg>
    </button>
  );
}

/** Puts the focus on the heading, so that a screen that took another's place is read out. */
export function focusHeading(): void {
  document.querySelector<HTMLElement>("#screen h1")?.focus({ preventScroll: true });
}

/** A sheet that scrolls and has nothing in it to stop at is a stop itself: the keyboard has no other way to its end. */
function useScrollStop(sheet: { readonly current: HTMLDivElement | null }): void {
  useEffect(() => {
    const part = sheet.current;
    if (!part) return;
    const judge = () => {
      const hidden = part.scrollHeight > part.clientHeight && getComputedStyle(part).overflowY === "auto";
      if (hidden && !part.querySelector("a[href], button:not(:disabled), input, select, textarea, summary")) part.tabIndex = 0;
      else part.removeAttribute("tabindex");
    };
    const sized = new ResizeObserver(judge);
    for (const seen of [part, ...part.children]) sized.observe(seen);
    return () => sized.disconnect();
  });
}

// What the way back of a frame does. The page around the frames says so.
export const BackContext = createContext<() => void>(() => {});
