// One gully from the side: the drawing, what it says in words, and its numbers.

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Section, SectionPair } from "./land.ts";
import { draw } from "../section/draw.ts";
import { Profile } from "../section/profile.tsx";
import { called, decimalsFor, number } from "./words.ts";

const narrowestPx = 160;
const printed = { widthPx: 860, fontPx: 13 };

export function SectionSheet({ section, selected }: { section: Section; selected: string | null }) {
  const box = useRef<HTMLDivElement>(null);
  const [paper, setPaper] = useState({ widthPx: 0, fontPx: 16 });
  useEffect(() => {
    const element = box.current;
    if (!element) return;
    let printing = false;
    const measure = () => {
      if (printing) return;
      const fontPx = parseFloat(getComputedStyle(element).fontSize) || 16;
      const widthPx = Math.floor(element.clientWidth);
      if (widthPx >= narrowestPx) setPaper({ widthPx, fontPx });
    };
    const watch = new ResizeObserver(measure);
    watch.observe(element);
    measure();
    const toPrinter = () => {
      printing = true;
      setPaper(printed); // a phone's narrow drawing would be tiny on the sheet
    };
    const fromPrinter = () => {
      printing = false;
      measure();
    };
    window.addEventListener("beforeprint", toPrinter);
    window.addEventListener("afterprint", fromPrinter);
    return () => {
      watch.disconnect();
      window.removeEventListener("beforeprint", toPrinter);
      window.removeEventListener("afterprint", fromPrinter);
    };
  }, []);
  const drawing = useMemo(() => (paper.widthPx > 0 ? draw(section, paper) : null), [section, paper]);
  const name = called("Gully", section.name);
  const sentences = useMemo(() => inWords(section), [section]);
  return (
    <figure class="section" aria-label={name}>
      <figcaption>
        <h3>{name}</h3>
        {drawing && (
          <p class="soft">
            {number(section.lengthM, 0)}&nbsp;m along its bed, seen from the side, water running to the left.{" "}
            {drawing.exaggeration === 1 ? "Heights and lengths are drawn to the same scale." : `Heights are drawn ${drawing.exaggeration} times larger than lengths.`}
          </p>
        )}
      </figcaption>
      <div class="paper" ref={box}>
        {drawing && <Profile drawing={drawing} name={name} selected={selected} proven={section.proven} numbers="Its numbers are in the table below." />}
      </div>
      <ul class="findings">
        {sentences.map((s, i) => (
          <li key={i} class={s.fails ? "fails" : ""}>{s.text}</li>
        ))}
        {section.notes.map((text, i) => (
          <li key={`note-${i}`}>{text}</li>
        ))}
      </ul>
      {section.dams.length > 0 && <Numbers section={section} />}
    </figure>
  );
}

/** Every pair that fails its check, and every dam that was not levelled, as sentences. */
function inWords(s: Section): { text: string; fails: boolean }[] {
  const dam = (id: string) => called("a dam", s.dams.find((d) => d.id === id)?.name);
  const out = s.pairs.flatMap((p) => {
    const step = p.stepM === null ? "" : `${number(Math.abs(p.stepM), 2)}\u00a0m`;
    if (p.verdict === "gap") return [{ fails: true, text: `Gap of ${step}: the toe of ${dam(p.upper)} stands ${step} above the crest of ${dam(p.lower)}, so water falls on bare bed between them.` }];
    if (p.verdict === "drowned") return [{ fails: true, text: `Drowned by ${step}: the toe of ${dam(p.upper)} lies ${step} below the crest of ${dam(p.lower)}, so the lower dam backs up onto the upper one.` }];
    return [];
  });
  const rough = s.pairs.filter((p) => (p.plusMinusM ?? 0) > 0 && p.plusMinusM! >= p.spacingM / 2);
  for (const p of rough) {
    const decimals = decimalsFor(p.spacingM, p.plusMinusM);
    out.push({ fails: false, text: `From ${dam(p.lower)} to ${dam(p.upper)} is ${number(p.spacingM, decimals)}\u00a0m, give or take ${number(p.plusMinusM ?? 0, decimals)}\u00a0m: tape it before relying on it.` });
  }
  const unlevelled = s.dams.filter((d) => d.toeLevelM === null || d.crestLevelM === null || d.basis !== "levelled");
  if (unlevelled.length > 0) out.push({ fails: false, text: `Drawn dashed because ${unlevelled.length === 1 ? "it is" : "they are"} not levelled, or not proven by a level run that closes: ${unlevelled.map((d) => called("a dam", d.name)).join(", ")}.` });
  if (!s.proven) out.push({ fails: false, text: "The bed is drawn dashed: not every level on it is proven by a level run that closes." });
  if (out.length === 0 && s.pairs.length > 0) out.push({ fails: false, text: "Each dam's crest reaches to the toe of the next dam up the gully." });
  return out;
}

function Numbers({ section: s }: { section: Section }) {
  const dams = [...s.dams].sort((a, b) => a.chainageM - b.chainageM);
  const level = (m: number | null) => (m === null ? "not levelled" : number(m, 2));
  return (
    <details class="numbers noprint">
      <summary>The numbers of {called("this gully", s.name)}</summary>
      <div class="scroll" tabIndex={0} role="region" aria-label={`Numbers of ${called("this gully", s.name)}`}>
        <table>
          <thead>
            <tr><th scope="col">Dam</th><th scope="col">Metres up</th><th scope="col">Toe, m</th><th scope="col">Crest, m</th><th scope="col">To the next dam up</th></tr>
          </thead>
          <tbody>
            {dams.map((d) => (
              <tr key={d.id}>
                <th scope="row">{called("Dam", d.name)}</th>
                <td>{number(d.chainageM, 1)}</td>
                <td>{level(d.toeLevelM)}</td>
                <td>{level(d.crestLevelM)}</td>
                <td>{toNext(s.pairs.find((p) => p.lower === d.id))}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}

function toNext(pair: SectionPair | undefined): string {
  if (!pair) return "";
  const spacing = `${number(pair.spacingM, decimalsFor(pair.spacingM, pair.plusMinusM))}\u00a0m`;
  if (pair.stepM === null) return `${spacing}; ${pair.verdict}`;
  if (pair.verdict === "level") return `${spacing}; level`;
  return `${spacing}; ${pair.verdict === "gap" ? "gap of" : "drowned by"} ${number(Math.abs(pair.stepM), 2)}\u00a0m`;
}
