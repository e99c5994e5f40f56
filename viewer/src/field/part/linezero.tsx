// Which end of a gully's line chainage 0 is at: the officer says so on a drawing of the line,
// north up, wherever it is asked.

import { fit } from "../../base/fit.ts";
import { Choice } from "../../ui/choice.tsx";
import type { Place } from "../../base/plane.ts";
import { atEnd, atStart, endsOf, type Line } from "../../survey/setout/lineends.ts";

interface LineZeroProps {
  readonly pieces: readonly Line[];
  readonly label: string;
  readonly value: string;
  readonly here: Place | null;
  readonly required?: boolean;
  readonly pick: (end: string | undefined) => void;
}

export function LineZero({ pieces, label, value, here, required, pick }: LineZeroProps) {
  const [first, last] = endsOf(pieces);
  return (
    <>
      <LineDrawing pieces={pieces} here={here} />
      <Choice
        label={label}
        {...(required ? { required } : {})}
        value={value || undefined}
        of={[
          { value: atStart, label: `A: ${first}` },
          { value: atEnd, label: `B: ${last}` },
        ]}
        pick={pick}
      />
    </>
  );
}

function LineDrawing({ pieces, here }: { pieces: readonly Line[]; here: Place | null }) {
  const put = fit(pieces.flat(), 260, 150, 30, 25);
  const drawn = pieces.map((piece) => piece.map(put));
  const ends = drawn.flat();
  const you = here && put([here.lon, here.lat]);
  const inSight = you && you[0] > 5 && you[0] < 255 && you[1] > 5 && you[1] < 145 ? you : null;
  const letter = (name: string, [x, y]: [number, number]) => (
    <g>
      <circle cx={x} cy={y} r="11" />
      <text x={x} y={y + 5} text-anchor="middle">
        {name}
      </text>
    </g>
  );
  return (
    <svg
      class="linezero"
      viewBox="0 0 260 150"
      role="img"
      aria-label={`The line as it was drawn, north up, from A to B${inSight ? ", and where you are" : ""}`}
    >
      {drawn.map((piece, i) => (
        <polyline key={i} points={piece.join(" ")} />
      ))}
      {inSight && (
        <g class="you">
          <circle cx={inSight[0]} cy={inSight[1]} r="6" />
          <text x={inSight[0] + 15} y={inSight[1] + 5}>
            you
          </text>
        </g>
      )}
      {letter("A", ends[0]!)}
      {letter("B", ends[ends.length - 1]!)}
      <path d="M240 40V12M234 20l6-9 6 9" />
      <text x="240" y="56" text-anchor="middle">
        N
      </text>
    </svg>
  );
}
