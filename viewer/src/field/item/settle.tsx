// Settling what two people recorded differently: both values with who and when, side by
// side. Choosing one, also the one shown, writes the entry that settles it.

import { useState } from "preact/hooks";
import { nameOf } from "../../base/names.ts";
import type { Feature } from "../../base/entry.ts";
import { fit } from "../../base/fit.ts";
import { useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { Trouble } from "../../ui/panel.tsx";
import { troubleOf } from "../../storage/errors.ts";
import { useSaving } from "../part/usesaving.ts";
import type { Disagreement } from "../../storage/store.ts";
import { ofItem } from "../part/ofitem.tsx";
import { asked, labelOf, linesOf, settling, sideWords, whoWords } from "../../survey/item/sides.ts";
import { useAsking } from "../../ui/hooks.ts";

export const Settle = ofItem(Settling);

function Settling({ feature }: { feature: Feature }) {
  const field = useField();
  const [clashes, setClashes] = useState<readonly Disagreement[] | undefined>();
  const { failed, fail, busy, save } = useSaving();
  useAsking(
    () => field.store.clashes(feature.id),
    [feature],
    (all) => setClashes(asked(feature, all)),
    (error) => fail(troubleOf(error)),
  );
  const choose = (d: Disagreement, side: Disagreement["sides"][number]) =>
    save(async () => {
      await field.capture([settling(feature, d, side)], `${labelOf(feature, d.field)} settled`);
      if ((clashes?.length ?? 0) <= 1) field.back();
      return "stays";
    });
  const now = new Date();
  return (
    <Frame
      title={`Settle ${nameOf(feature, field.features)}`}
      under={<p class="soft">Choose the value that is right. The other stays in the register.</p>}
    >
      {failed && <Trouble {...failed} />}
      {!clashes && !failed && <p>Reading both values…</p>}
      {clashes?.length === 0 && <p>Nothing is left to settle.</p>}
      {clashes?.map((d) => (
        <section key={d.field} aria-label={labelOf(feature, d.field)}>
          <h2>{labelOf(feature, d.field)}</h2>
          <div class="sides">
            {d.sides.map((side, i) => (
              <div class="side" key={side.entry}>
                {d.field === "geometry" && <Drawn sides={d.sides.map((s) => s.value)} own={i} />}
                <p class="value">
                  <b>{sideWords(feature, d, side, field.features)}</b>
                </p>
                <p>{whoWords(side, now)}</p>
                <p class="soft">{i === 0 ? "shown now" : "\u00a0"}</p>
                <Button
                  wide
                  label={`Use this: ${sideWords(feature, d, side, field.features)}, ${whoWords(side, now)}`}
                  disabled={busy}
                  press={() => void choose(d, side)}
                >
                  Use this
                </Button>
              </div>
            ))}
          </div>
        </section>
      ))}
    </Frame>
  );
}

/** A place beside the others to the same scale: its own solid, the others dashed. North is up. */
function Drawn({ sides, own }: { sides: readonly unknown[]; own: number }) {
  const all = sides.map(linesOf);
  const points = all.flat(2);
  if (points.length === 0) return null;
  const to = fit(points, 100, 100, 10);
  const draw = (lines: (typeof all)[number], solid: boolean) =>
    lines.map((line, i) => {
      const on = line.map(to);
      if (on.length === 1) return <circle key={i} cx={on[0]![0]} cy={on[0]![1]} r={solid ? 6 : 5} class={solid ? "own" : "other"} />;
      return <polyline key={i} points={on.join(" ")} class={solid ? "own" : "other"} />;
    });
  return (
    <svg class="drawn" viewBox="0 0 100 100" aria-hidden="true">
      {all.map((lines, i) => i !== own && draw(lines, false))}
      {draw(all[own]!, true)}
    </svg>
  );
}
