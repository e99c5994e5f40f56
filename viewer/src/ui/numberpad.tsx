// The number pad: what is keyed, then keys of 64 px and more, for gloves, and one large key
// that books. What is keyed is a part of it, so that nothing of the screen ever stands
// between the two, nor the pad before what it types.

import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef } from "preact/hooks";
import { keyedIntoSight, onEnter } from "./numberbox.tsx";
import { afterPress } from "./press.ts";
import type { Key } from "../survey/levelbook/keyed.ts";

interface NumberPadProps {
  readonly press: (key: Key) => void;
  readonly enter: () => void;
  readonly enterWord: string; // "Book"
  readonly sign?: boolean; // readings may be below nought
  readonly children: ComponentChildren; // the boxes that it types in, what they give and what the large key saves
}

const leastRoomPx = 130; // two things that are pressed, above the pad

/**
 * Lets the pad lie over what stands above it only while enough of that is left in sight: else it scrolls
 * with the rest, so that nothing hides behind it, and is followed where it goes unless the officer
 * scrolled away from it. What has the focus above keeps clear of a pad that stays.
 */
class PadRoom {
  #crowdedAtPx = 0; // the sheet's height; no key may jump because a line above it went
  #isLeft = false;
  readonly #end: () => void;

  constructor(
    readonly pad: HTMLElement,
    readonly sheet: HTMLElement,
  ) {
    const sized = new ResizeObserver(() => afterPress(() => this.judge()));
    sized.observe(pad);
    sized.observe(sheet);
    const scrolled = () => {
      const its = pad.getBoundingClientRect();
      const seen = sheet.getBoundingClientRect();
      this.#isLeft = its.bottom > seen.bottom + 1 || (its.top < seen.top - 1 && its.height < seen.height); // up, or down to what is below the pad
    };
    sheet.addEventListener("scroll", scrolled, { passive: true });
    this.#end = () => {
      sized.disconnect();
      sheet.removeEventListener("scroll", scrolled);
      sheet.classList.remove("crowded");
    };
  }

  judge(): void {
    const { pad, sheet } = this;
    const highPx = sheet.clientHeight;
    const scrolls = getComputedStyle(sheet).overflowY === "auto"; // with large text the whole screen does
    const crowded = scrolls && (highPx - pad.offsetHeight < leastRoomPx || (this.#crowdedAtPx > 0 && highPx <= this.#crowdedAtPx));
    this.#crowdedAtPx = crowded ? highPx : 0;
    sheet.classList.toggle("crowded", crowded);
    sheet.style.setProperty("--pad", crowded ? "0px" : `${pad.offsetHeight}px`);
    if (crowded && !this.#isLeft) keyedIntoSight(pad);
  }

  end(): void {
    this.#end();
  }
}

const figures: readonly Key[] = ["7", "8", "9", "4", "5", "6", "1", "2", "3"];

export function NumberPad({ press, enter, enterWord, sign, children }: NumberPadProps) {
  const key = (k: Key) => (
    <button key={k} type="button" class={`key k${k === "." ? "point" : k}`} onClick={() => press(k)}>
      {k}
    </button>
  );
  const bar = useRef<HTMLFormElement>(null);
  const room = useRef<PadRoom>(null);
  useLayoutEffect(() => {
    const pad = bar.current,
      sheet = pad?.closest<HTMLElement>(".sheet");
    if (!pad || !sheet) return;
    const its = new PadRoom(pad, sheet);
    room.current = its;
    return () => its.end();
  }, []);
  useLayoutEffect(() => room.current?.judge()); // what stands above may have grown
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
