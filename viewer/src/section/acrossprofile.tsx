// The drawing of a cross-section as SVG. Its colours are in profile.css.

import type { AcrossDrawing } from "./across.ts";
import { place } from "./draw.ts";

export function AcrossProfile({ drawing: d, name, proven }: { drawing: AcrossDrawing; name: string; proven: boolean }) {
  return (
    <svg
      class="profile"
      font-size={d.fontPx}
      width={d.width}
      height={place(d.height)}
      viewBox={`0 0 ${d.width} ${place(d.height)}`}
      role="img"
      aria-label={`Cross-section ${name}, looking downstream. Its levels are in the table below.`}
    >
      <path class="ground" d={d.ground} />
      {d.yTicks.map((t) => (
        <g key={t.text} class="ytick">
          <path d={`M${place(d.plot.left - 6)} ${place(t.at)}H${place(d.plot.right)}`} />
          <text x={place(d.plot.left - 10)} y={place(t.at)} dy="0.35em" text-anchor="end">
            {t.text}
          </text>
        </g>
      ))}
      <path class="axis" d={`M${place(d.plot.left)} ${place(d.plot.top)}V${place(d.plot.bottom)}H${place(d.plot.right)}`} />
      {d.xTicks.map((t) => (
        <g key={t.text} class="xtick">
          <path d={`M${place(t.at)} ${place(d.plot.bottom)}v6`} />
          <text x={place(t.at)} y={place(d.plot.bottom + 8)} dy="0.9em" text-anchor="middle">
            {t.text}
          </text>
        </g>
      ))}
      <text class="axisname" x={place(d.plot.right)} y={place(d.height - 6)} text-anchor="end">
        offset, m; left −
      </text>
      <text class="axisname" x="0" y={place(d.plot.top)} dy="-0.6em">
        level, m
      </text>
      {d.thalwegX !== undefined && (
        <path class="name" stroke-dasharray="2 4" d={`M${place(d.thalwegX)} ${place(d.plot.top)}V${place(d.plot.bottom)}`} />
      )}
      {d.notches.map((n) => (
        <g key={n.name} class="notch">
          <path class={n.planned ? "crest thin" : "crest"} d={n.line} />
          <text x={place(n.x)} y={place(n.y)} dy="-0.45em" text-anchor="middle">
            {n.name}
          </text>
        </g>
      ))}
      <path class="bed" d={d.bed} stroke-dasharray={proven ? undefined : "9 6"} />
    </svg>
  );
}
