// Which end of a gully's line chainage 0 is at, where nothing that was taped or pegged tells
// it: the officer says so on a drawing of the line, north up.

import type { Feature } from "../entry.ts";
import { placeOf, textOf } from "../entry.ts";
import { compass } from "../app/words.ts";
import { Choice } from "../kit/choice.tsx";
import { bearingTo, type Place } from "../place/ground.ts";

/** As the kind thalweg has them. */
const atStart = "start of the line", atEnd = "end of the line";

/** "south end": the ends as they lie on the ground, the line's first and last. */
export function endsOf(line: readonly (readonly [number, number])[]): readonly [string, string] {
  const [first, last] = [line[0]!, line[line.length - 1]!].map(([lon, lat]) => ({ lon, lat })) as [Place, Place];
  return [`${compass(bearingTo(last, first))} end`, `${compass(bearingTo(first, last))} end`];
}

export function LineZero({ gully, here, pick }: { gully: Feature; here: Place | null; pick: (end: string, called: string) => void }) {
  const line = placeOf(gully);
  if (line?.type !== "LineString" || line.coordinates.length < 2) return null;
  const [first, last] = endsOf(line.coordinates);
  return (
    <>
      <LineDrawing line={line.coordinates} here={here} />
      <Choice label="Chainage 0 of the level book is at the" required value={textOf(gully, "chainageZero")}
        of={[{ value: atStart, label: `A: ${first}` }, { value: atEnd, label: `B: ${last}` }]} pick={(end) => end && pick(end, end === atStart ? first : last)} />
    </>
  );
}

function LineDrawing({ line, here }: { line: readonly (readonly [number, number])[]; here: Place | null }) {
  const lat0 = line[0]![1];
  const flat = ([lon, lat]: readonly [number, number]): [number, number] => [(((lon - line[0]![0] + 540) % 360) - 180) * Math.cos((lat0 * Math.PI) / 180), lat0 - lat];
  const all = line.map(flat);
  const [left, right] = [Math.min(...all.map(([x]) => x)), Math.max(...all.map(([x]) => x))];
  const [top, bottom] = [Math.min(...all.map(([, y]) => y)), Math.max(...all.map(([, y]) => y))];
  const scale = Math.min(200 / (right - left || 1e-9), 100 / (bottom - top || 1e-9));
  const put = ([x, y]: [number, number]): [number, number] => [130 + (x - (left + right) / 2) * scale, 75 + (y - (top + bottom) / 2) * scale];
  const drawn = all.map(put);
  const you = here && put(flat([here.lon, here.lat]));
  const inSight = you && you[0] > 5 && you[0] < 255 && you[1] > 5 && you[1] < 145 ? you : null;
  const letter = (name: string, [x, y]: [number, number]) => <g><circle cx={x} cy={y} r="11" /><text x={x} y={y + 5} text-anchor="middle">{name}</text></g>;
  return (
    <svg class="linezero" viewBox="0 0 260 150" role="img" aria-label={`The line as it was drawn, north up, from A to B${inSight ? ", and where you are" : ""}`}>
      <polyline points={drawn.map((p) => p.join(",")).join(" ")} />
      {inSight && <g class="you"><circle cx={inSight[0]} cy={inSight[1]} r="6" /><text x={inSight[0] + 15} y={inSight[1] + 5}>you</text></g>}
      {letter("A", drawn[0]!)}
      {letter("B", drawn[drawn.length - 1]!)}
      <path d="M240 40V12M234 20l6-9 6 9" /><text x="240" y="56" text-anchor="middle">N</text>
    </svg>
  );
}
