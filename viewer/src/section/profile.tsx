// The drawing of a long section as SVG. Its colours are in profile.css.

import { type Drawing, place } from "./draw.ts";

interface ProfileProps {
  readonly drawing: Drawing;
  readonly name: string;
  readonly selected: string | null; // id of a dam
  readonly proven: boolean; // a bed that is not is dashed
  readonly numbers: string; // where the same can be read as text
  readonly along: string; // what the reader calls the chainage, with its unit
}

export function Profile({ drawing: d, name, selected, proven, numbers, along }: ProfileProps) {
  const dashed = proven ? undefined : "9 6";
  return (
    <svg
      class="profile"
      font-size={d.fontPx}
      width={d.width}
      height={place(d.height)}
      viewBox={`0 0 ${d.width} ${place(d.height)}`}
      role="img"
      aria-label={`Long section of ${name}. ${numbers}`}
    >
      {d.faults.map((f, i) => (
        <rect
          key={i}
          class="band"
          x={place(f.band.x + 1.5)}
          y={place(d.plot.top)}
          width={place(Math.max(0, f.band.width - 3))}
          height={place(d.plot.bottom - d.plot.top)}
        />
      ))}
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
        {along}
      </text>
      <text class="axisname" x="0" y={place(d.plot.top)} dy="-0.6em">
        level, m
      </text>
      {d.names.map((n, i) => (
        <g key={i} class="name">
          <path d={`M${place(n.leader.x)} ${place(n.y + 5)}V${place(n.leader.y - 4)}`} />
          <text x={place(n.x)} y={place(n.y)} text-anchor="middle">
            {n.text}
          </text>
        </g>
      ))}
      {d.crests.map((c) => (
        <path
          key={c.dam}
          class={c.thin ? "crest thin" : "crest"}
          data-crest={c.dam}
          d={`M${place(c.x1)} ${place(c.y)}H${place(c.x2)}`}
          stroke-dasharray={c.dashed ? "6 5" : ""}
        />
      ))}
      <path class="bed" d={d.bed} stroke-dasharray={dashed} />
      {d.dams.map((dam) => (
        <g
          key={dam.id}
          class={`${dam.id === selected ? "dam chosen" : "dam"}${dam.offBedY === undefined ? "" : " doubtful"}`}
          data-dam={dam.id}
        >
          {dam.offBedY !== undefined && (
            <path class="offbed" d={`M${place(dam.x)} ${place(dam.toeY)}V${place(dam.offBedY)}`} stroke-dasharray="2 4" />
          )}
          {dam.crestY < dam.toeY && (
            <path
              class={dam.status === "built" || dam.status === "failed" ? "standing" : "planned"}
              d={`M${place(dam.x)} ${place(dam.toeY)}V${place(dam.crestY)}h${place(dam.thickness * 0.5)}L${place(dam.x + dam.thickness)} ${place(dam.toeY)}z`}
              stroke-dasharray={dam.dashed ? "4 3" : ""}
            />
          )}
          {dam.crestY >= dam.toeY && <circle class="unmeasured" cx={place(dam.x)} cy={place(dam.toeY)} r="5" />}
          {(dam.status === "failed" || dam.status === "removed") && (
            <path
              class="crossed"
              d={`M${place(dam.x - 4)} ${place(dam.crestY - 4)}L${place(dam.x + dam.thickness + 4)} ${place(dam.toeY + 4)}M${place(dam.x + dam.thickness + 4)} ${place(dam.crestY - 4)}L${place(dam.x - 4)} ${place(dam.toeY + 4)}`}
            />
          )}
        </g>
      ))}
      {d.faults.map((f, i) => (
        <g key={i} class="fault" data-fault={f.kind}>
          <path class="leader" d={`M${place(f.fromX)} ${place(f.y1)}H${place(f.x)}`} stroke-dasharray="2 4" />
          <path
            class="step"
            d={`M${place(f.x - 7)} ${place(f.y1)}h14M${place(f.x - 7)} ${place(f.y2)}h14M${place(f.x)} ${place(f.y1)}V${place(f.y2)}`}
          />
          <path class="leader" d={`M${place(f.label.leader.x)} ${place(f.label.leader.y)}L${place(f.label.x)} ${place(f.label.y - 14)}`} />
          <text x={place(f.label.x)} y={place(f.label.y)} text-anchor="middle">
            {f.label.text}
          </text>
        </g>
      ))}
    </svg>
  );
}
