// The number pad: keys of 64 px and more, for gloves, and one large key that books.

import type { ComponentChildren } from "preact";
import type { Key } from "./reading.ts";

interface NumberPadProps {
  readonly press: (key: Key) => void;
  readonly enter: () => void;
  readonly enterWord: string; // "Book"
  readonly sign?: boolean; // readings may be below nought
  readonly children?: ComponentChildren; // what the large key saves, in a line above the keys
}

const figures: readonly Key[] = ["7", "8", "9", "4", "5", "6", "1", "2", "3"];

export function NumberPad({ press, enter, enterWord, sign, children }: NumberPadProps) {
  const key = (k: Key) => <button key={k} type="button" class={`key k${k === "." ? "point" : k}`} onClick={() => press(k)}>{k}</button>;
  return (
    <div class="padbar">
      {children}
      <div class={sign ? "pad signed" : "pad"} role="group" aria-label="Number pad">
        {figures.map(key)}
        {key("0")}
        {key(".")}
        <button type="button" class="key rub" onClick={() => press("rub")} aria-label="Delete digit">
          <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M8 5h13v14H8l-6-7zM11 9l6 6M17 9l-6 6" /></svg>
        </button>
        {sign && (
          <button type="button" class="key sign" onClick={() => press("sign")} aria-label="Change sign">±</button>
        )}
        <button type="button" class="key enter" onClick={enter}>{enterWord}</button>
      </div>
    </div>
  );
}
