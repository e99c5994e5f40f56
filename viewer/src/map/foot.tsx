// What stands under a map: which way is north, and how long a length is.

import { crossesApart } from "./grid.ts";
import { metresText, scaleBar } from "./scale.ts";

export function NorthArrow() {
  return (
    <svg class="north" viewBox="0 0 36 56" role="img" aria-label="North is up">
      <path d="M18 15L9 53l9-7z" class="solid" />
      <path d="M18 15l9 38-9-7z" class="open" />
      <path d="M13.5 12V2l9 10V2" class="letter" />
    </svg>
  );
}

export function ScaleBar({ metresPerPx }: { metresPerPx: number }) {
  const bar = scaleBar(metresPerPx, 190);
  const parts = 4;
  return (
    <div class="scale">
      <svg
        width={bar.px + 2}
        height="14"
        viewBox={`0 0 ${bar.px + 2} 14`}
        role="img"
        aria-label={`Scale bar: this long is ${bar.text} on the ground`}
        data-metres={bar.metres}
        data-px={bar.px}
      >
        {Array.from({ length: parts }, (_, i) => (
          <rect key={i} x={1 + (i * bar.px) / parts} y="2" width={bar.px / parts} height="10" class={i % 2 ? "open" : "solid"} />
        ))}
      </svg>
      <p>
        Scale bar {bar.text}
        <span class="soft">; grid crosses every {metresText(crossesApart(metresPerPx))}.</span>
      </p>
    </div>
  );
}
