// One gully from the side: the drawing, what it says in words, and its spacings.

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Section, SectionDam, SectionPair } from "../section/section.ts";
import { draw, isPlanned, type Paper, stretch } from "../section/draw.ts";
import { Profile } from "../section/profile.tsx";
import { withPlusMinus } from "../base/number.ts";
import { usePrinting } from "../ui/hooks.ts";
import { inWords, tenth } from "./sectionwords.ts";
import { called, number } from "./words.ts";

const narrowestPx = 160;
const decimals = 1; // of a step: a landholder has no use for more
const printed = { widthPx: 1000, fontPx: 11, decimals, tallest: 14 }; // two to a sheet

export function SectionSheet({ section, selected }: { section: Section; selected: string | null }) {
  const box = useRef<HTMLDivElement>(null);
  const [measured, setMeasured] = useState<Paper>({ widthPx: 0, fontPx: 16, decimals });
  const paper = usePrinting() ? printed : measured; // a phone's narrow drawing would be tiny on the sheet
  useEffect(() => {
    const element = box.current;
    if (!element) return;
    const watch = new ResizeObserver(() => {
      const fontPx = parseFloat(getComputedStyle(element).fontSize) || 16;
      const widthPx = Math.floor(element.clientWidth);
      if (widthPx >= narrowestPx) setMeasured({ widthPx, fontPx, decimals });
    });
    watch.observe(element); // which measures at once
    return () => watch.disconnect();
  }, []);
  const drawing = useMemo(() => (paper.widthPx > 0 ? draw(section, paper) : null), [section, paper]);
  const name = called("Gully", section.name);
  const { from, to } = stretch(section);
  const sentences = useMemo(() => inWords(section), [section]);
  return (
    <figure class="section" aria-label={name}>
      <figcaption>
        <h3>{name}</h3>
        {drawing && (
          <p class="soft">
            {number(to - from, 0)}&nbsp;m along the gully bed. Water runs to the left.{" "}
            {drawing.exaggeration === 1
              ? "Heights and lengths are to the same scale."
              : `Heights are drawn ${drawing.exaggeration} times larger than lengths.`}
          </p>
        )}
      </figcaption>
      {sentences.length > 0 && (
        <ul class="findings">
          {sentences.map((s, i) => (
            <li key={i} class={s.fails ? "fails" : ""}>
              {s.text}
            </li>
          ))}
        </ul>
      )}
      <div class="paper" ref={box}>
        {drawing && (
          <Profile
            drawing={drawing}
            name={name}
            selected={selected}
            proven={section.proven}
            along="distance up the gully, m"
            numbers={section.dams.length > 0 ? "Its spacings are in the table below." : ""}
          />
        )}
      </div>
      {section.dams.length > 0 && <Spacings section={section} />}
    </figure>
  );
}

/** A height as the facts of a dam have it: to a centimetre below a metre, without a nought at the end. */
const heightInWords = (m: number) => `${m < 1 ? number(m, 2).replace(/0$/, "") : number(m, 1)}\u00a0m`;

function Spacings({ section: s }: { section: Section }) {
  const dams = [...s.dams].sort((a, b) => a.chainageM - b.chainageM);
  const name = called("this gully", s.name);
  const height = ({ toeLevelM: toe, crestLevelM: crest, heightM, heightPlanned, ...dam }: SectionDam) => {
    if (toe !== undefined && crest !== undefined && crest > toe) return heightInWords(crest - toe);
    return heightM === undefined ? "" : `${heightInWords(heightM)}${heightPlanned || isPlanned(dam) ? ", planned" : ""}`;
  };
  return (
    <details class="numbers noprint">
      <summary>Heights and spacings of {name}</summary>
      <div class="scroll" tabIndex={0} role="region" aria-label={`Heights and spacings of ${name}`}>
        <table>
          <thead>
            <tr>
              <th scope="col">Dam</th>
              <th scope="col">Distance up the gully</th>
              <th scope="col">Height</th>
              <th scope="col">To the next dam up</th>
            </tr>
          </thead>
          <tbody>
            {dams.map((d) => (
              <tr key={d.id}>
                <th scope="row">{called("Dam", d.name)}</th>
                <td>{distance(d.chainageM, d.plusMinusM)}</td>
                <td>{height(d)}</td>
                <td>
                  {toNext(
                    s.pairs.find((p) => p.lower === d.id),
                    dams,
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}

const verdicts: Record<string, (step: number | undefined) => string> = {
  level: () => "; OK",
  gap: (step) => `; gap of ${tenth(step)}`,
  hump: () => "; the ground between stands higher than both",
  drowned: (step) => `; drowned toe, ${tenth(step)} too high: silt will bury its foot`,
};

/** "10 ± 7 m", "47.5 ± 0.1 m"; to a metre where the ± is not known. */
const distance = (m: number, plusMinusM: number | undefined): string =>
  `${plusMinusM !== undefined && plusMinusM > 0 ? withPlusMinus(m, Math.max(plusMinusM, 0.1), 1) : number(m, 0)}\u00a0m`;

function toNext(pair: SectionPair | undefined, dams: readonly SectionDam[]): string {
  if (!pair) return "";
  const verdict = verdicts[pair.verdict];
  return `${distance(pair.spacingM, pair.plusMinusM)}${verdict ? verdict(pair.stepM) : notJudged(pair, dams)}`;
}

/** Why it is not said whether two dams meet: what is not built or not levelled, by the dams' names. */
function notJudged(pair: SectionPair, dams: readonly SectionDam[]): string {
  const lower = dams.find((d) => d.id === pair.lower),
    upper = dams.find((d) => d.id === pair.upper);
  const missing = [
    lower &&
      lower.crestLevelM === undefined &&
      (isPlanned(lower) ? `${called("a dam", lower.name)} is not built yet` : `top of ${called("a dam", lower.name)} not levelled yet`),
    upper && upper.toeLevelM === undefined && `foot of ${called("a dam", upper.name)} not levelled yet`,
  ].filter(Boolean);
  return `; ${missing.join("; ") || "not yet checked by a closed level run"}`;
}
