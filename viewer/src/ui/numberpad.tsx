// The number pad: what is keyed, then keys of 64 px and more, for gloves, and one large key
// that books. What is keyed is a part of it, so that nothing of the screen ever stands
// between the two, nor the pad before what it types.

import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef } from "preact/hooks";
import { onEnter } from "./numberbox.tsx";
import type { Key } from "../survey/levelbook/keyed.ts";

interface NumberPadProps {
  readonly press: (key: Key) => void;
  readonly enter: () => void;
  readonly enterWord: string; // "Book"
  readonly sign?: boolean; // readings may be below nought
  readonly children: ComponentChildren; // the boxes that it types in, what they give and what the large key saves
}

const figures: readonly Key[] = ["7", "8", "9", "4", "5", "6", "1", "2", "3"];

export function NumberPad({ press, enter, enterWord, sign, children }: NumberPadProps) {
  const key = (k: Key) => (
    <button key={k} type="button" class={`key k${k === "." ? "point" : k}`} onClick={() => press(k)}>
      {k}
    </button>
  );
  const bar = useRef<HTMLFormElement>(null);
  useLayoutEffect(() => (bar.current ? keepsRoom(bar.current) : undefined), []);
  return (
    <form class="padbar" ref={bar} onSubmit={(e) => e.preventDefault()} onKeyDown={(e) => onEnter(e, enter)}>
      <div class="keyed">{children}</div>
      <div class={sign ? "pad signed" : "pad"} role="group" aria-label="Number pad">
        {figures.map(key)}
        {key("0")}
        {key(".")}
        <button type="button" class="key rub" onClick={() => press("rub")} aria-label="Delete digit">
          <svg viewBox="0 0 24 24" aria-hidden="true">
            <path d="M8 5h13v14H8l-6-7zM11 9l6 6M17 9l-6 6" />
          </svg>
        </button>
        {sign && (
          <button type="button" class="key sign" onClick={() => press("sign")} aria-label="Change sign">
            ±
          </button>
        )}
        <button type="button" class="key enter" onClick={enter}>
          {enterWord}
        </button>
      </div>
    </form>
  );
}

/**
 * Keeps room above a pad that stays at the thumb for each thing that is pressed there; what has
 * the focus keeps clear of it. A pad that leaves too little scrolls with the rest, beginning where it
 * stood, and no key of it moves when it grows or shrinks. Gives what ends it.
 */
function keepsRoom(pad: HTMLElement): (() => void) | undefined {
  const sheet = pad.closest<HTMLElement>(".sheet");
  if (!sheet) return undefined;
  let high = 0,
    whole = 0; // of the pad and the sheet as they were; a pad makes room for what is chosen above it
  const bottom = (e: Element) => e.getBoundingClientRect().bottom;
  const sized = new ResizeObserver(() => {
    const scrolled = pad.classList.contains("scrolls");
    const appears = high === 0;
    const grown = pad.offsetHeight - high - (sheet.clientHeight - whole);
    [high, whole] = [pad.offsetHeight, sheet.clientHeight];
    const above = sheet.querySelectorAll<HTMLElement>(":is(button, a, summary):not(.padbar *, .padbar ~ *, .padbar ~ * *)");
    const scrolls = high > 0 && whole - high < Math.max(...[...above].map((e) => e.offsetHeight)) + 8;
    pad.classList.add("scrolls"); // measured where it stands by itself
    const below = bottom(sheet) - bottom(pad);
    pad.classList.toggle("scrolls", scrolls);
    sheet.style.setProperty("--pad", `${scrolls ? 0 : high}px`);
    if (high === 0 || !(scrolls || scrolled)) return;
    const wasBelow = appears ? 0 : below + grown;
    if (!scrolled || wasBelow > -1) sheet.scrollTop += Math.max(0, wasBelow) - below; // else she reads what is above
  });
  sized.observe(pad);
  sized.observe(sheet);
  return () => sized.disconnect();
}
