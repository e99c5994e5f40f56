// A symbol of the map as SVG, for legends, lists and panels.

import { attentionMark, boxSize, ink, lineDress, markInset, type Stroke, symbol } from "./symbols.ts";
import { type DrawnKind, type Status, statusOf } from "../base/item.ts";

export function WorkSymbol({ kind, status, attention = false }: { kind: DrawnKind; status: Status; attention?: boolean }) {
  return (
    <svg class="symbol" viewBox={`0 0 ${boxSize} ${boxSize}`} aria-hidden="true">
      {[...symbol(kind, status), ...(attention ? attentionMark : [])].map((s, i) => (
        <StrokePath key={i} stroke={s} />
      ))}
    </svg>
  );
}

function StrokePath({ stroke: s }: { stroke: Stroke }) {
  return (
    <path
      d={s.path}
      fill={s.fill ?? "none"}
      stroke={s.stroke ?? "none"}
      stroke-width={s.width ?? 0}
      stroke-dasharray={s.dash?.join(" ")}
      stroke-linecap="round"
      stroke-linejoin="round"
      transform={s.inMark ? `translate(${markInset} ${markInset})` : undefined}
    />
  );
}

/** The mark of a kind alone, for what is not a work. */
export function KindSymbol({ kind }: { kind: DrawnKind }) {
  return (
    <svg class="symbol" viewBox={`0 0 ${boxSize} ${boxSize}`} aria-hidden="true">
      <StrokePath stroke={{ path: kind.mark ?? "", stroke: kind.colour, width: 2, inMark: true }} />
    </svg>
  );
}

/** A work's symbol with its status, or the mark of what is no work. */
export function ItemSymbol({
  kind,
  status,
  attention = false,
}: {
  kind: DrawnKind & { work: boolean };
  status: string | undefined;
  attention?: boolean;
}) {
  return kind.work ? <WorkSymbol kind={kind} status={statusOf({ status })} attention={attention} /> : <KindSymbol kind={kind} />;
}

/** The mark that is laid over the symbol of what needs attention. */
export function AttentionSample() {
  return (
    <svg class="symbol" viewBox="16 -6 30 30" aria-hidden="true">
      {attentionMark.map((s, i) => (
        <StrokePath key={i} stroke={s} />
      ))}
    </svg>
  );
}

const plain: DrawnKind = { name: "", mark: "", colour: ink };

/** How a status looks on a place and on a line, in ink: its shape is what tells it. */
export function StatusSample({ status }: { status: Status }) {
  const dress = lineDress[status];
  return (
    <svg class="symbol sample" viewBox="0 0 84 40" aria-hidden="true">
      {symbol(plain, status).map((s, i) => (
        <StrokePath key={i} stroke={s} />
      ))}
      <StrokePath stroke={{ path: "M48 20h32", stroke: ink, width: dress.width, dash: dress.dash }} />
      {dress.beads && <StrokePath stroke={{ path: "M49 20h31", stroke: ink, width: 7, dash: [0.1, 15] }} />}
      {dress.crosses && <StrokePath stroke={{ path: "M52 16l8 8M60 16l-8 8M68 16l8 8M76 16l-8 8", stroke: ink, width: 2.5 }} />}
    </svg>
  );
}
