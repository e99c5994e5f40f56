// One gully from the side: the drawing, what it says in words, and its numbers.

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Section, SectionPair } from "./land.ts";
import type { Drawing } from "./section.ts";
import { draw, place } from "./section.ts";
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
        {drawing && <Profile drawing={drawing} name={name} selected={selected} proven={section.proven} />}
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

function Profile({ drawing: d, name, selected, proven }: { drawing: Drawing; name: string; selected: string | null; proven: boolean }) {
  const dashed = proven ? undefined : "9 6";
  return (
    <svg class="profile" font-size={d.fontPx} width={d.width} height={place(d.height)} viewBox={`0 0 ${d.width} ${place(d.height)}`} role="img" aria-label={`Long section of ${name}. Its numbers are in the table below.`}>
      {d.faults.map((f, i) => (
        <rect key={i} class="band" x={place(f.band.x + 1.5)} y={place(d.plot.top)} width={place(Math.max(0, f.band.width - 3))} height={place(d.plot.bottom - d.plot.top)} />
      ))}
      <path class="ground" d={d.ground} />
      {d.yTicks.map((t) => (
        <g key={t.text} class="ytick">
          <path d={`M${place(d.plot.left - 6)} ${place(t.at)}H${place(d.plot.right)}`} />
          <text x={place(d.plot.left - 10)} y={place(t.at)} dy="0.35em" text-anchor="end">{t.text}</text>
        </g>
      ))}
      <path class="axis" d={`M${place(d.plot.left)} ${place(d.plot.top)}V${place(d.plot.bottom)}H${place(d.plot.right)}`} />
      {d.xTicks.map((t) => (
        <g key={t.text} class="xtick">
          <path d={`M${place(t.at)} ${place(d.plot.bottom)}v6`} />
          <text x={place(t.at)} y={place(d.plot.bottom + 8)} dy="0.9em" text-anchor="middle">{t.text}</text>
        </g>
      ))}
      <text class="axisname" x={place(d.plot.right)} y={place(d.height - 6)} text-anchor="end">metres up the gully</text>
      <text class="axisname" x="0" y={place(d.plot.top)} dy="-0.6em">level, m</text>
      {d.names.map((n, i) => (
        <g key={i} class="name">
          <path d={`M${place(n.x)} ${place(n.y + 5)}L${place(n.x)} ${place(n.leaderFromY - 4)}`} />
          <text x={place(n.x)} y={place(n.y)} text-anchor="middle">{n.text}</text>
        </g>
      ))}
      {d.crests.map((c) => (
        <path key={c.dam} class="crest" data-crest={c.dam} d={`M${place(c.x1)} ${place(c.y)}H${place(c.x2)}`} stroke-dasharray={c.proven ? "" : "6 5"} />
      ))}
      <path class="bed" d={d.bed} stroke-dasharray={dashed} />
      {d.dams.map((dam) => (
        <g key={dam.id} class={dam.id === selected ? "dam chosen" : "dam"} data-dam={dam.id}>
          <path
            class={dam.status === "built" || dam.status === "failed" ? "standing" : "planned"}
            d={`M${place(dam.x)} ${place(dam.toeY)}V${place(dam.crestY)}h${place(dam.thickness * 0.5)}L${place(dam.x + dam.thickness)} ${place(dam.toeY)}z`}
            stroke-dasharray={dam.proven ? "" : "4 3"}
          />
          {(dam.status === "failed" || dam.status === "removed") && (
            <path class="crossed" d={`M${place(dam.x - 4)} ${place(dam.crestY - 4)}L${place(dam.x + dam.thickness + 4)} ${place(dam.toeY + 4)}M${place(dam.x + dam.thickness + 4)} ${place(dam.crestY - 4)}L${place(dam.x - 4)} ${place(dam.toeY + 4)}`} />
          )}
        </g>
      ))}
      {d.faults.map((f, i) => (
        <g key={i} class="fault" data-fault={f.kind}>
          <path class="leader" d={`M${place(f.fromX)} ${place(f.y1)}H${place(f.x)}`} stroke-dasharray="2 4" />
          <path class="step" d={`M${place(f.x - 7)} ${place(f.y1)}h14M${place(f.x - 7)} ${place(f.y2)}h14M${place(f.x)} ${place(f.y1)}V${place(f.y2)}`} />
          <path class="leader" d={`M${place(f.x)} ${place(f.label.leaderFromY)}L${place(f.label.x)} ${place(f.label.y - 14)}`} />
          <text x={place(f.label.x)} y={place(f.label.y)} text-anchor="middle">{f.label.text}</text>
        </g>
      ))}
    </svg>
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
  const rough = s.pairs.filter((p) => p.plusMinusM > 0 && p.plusMinusM >= p.spacingM / 2);
  for (const p of rough) {
    const decimals = decimalsFor(p.spacingM, p.plusMinusM);
    out.push({ fails: false, text: `From ${dam(p.lower)} to ${dam(p.upper)} is ${number(p.spacingM, decimals)}\u00a0m, give or take ${number(p.plusMinusM, decimals)}\u00a0m: tape it before relying on it.` });
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
