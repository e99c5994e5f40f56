// What there is to read about one work.

import { useEffect, useRef } from "preact/hooks";
import type { Kind, Work } from "./land.ts";
import { statusOf } from "./land.ts";
import { Symbol } from "./symbol.tsx";
import { called, day, figureWords, statusWords, tooRough, verdictWords } from "./words.ts";

interface Props {
  work: Work;
  kind: Kind;
  link: string;
  takeFocus: boolean;
  close: () => void;
}

export function WorkPanel({ work, kind, link, takeFocus, close }: Props) {
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (takeFocus) head.current?.focus();
    head.current?.closest(".panelhead")?.scrollIntoView({ block: "nearest" });
  }, []);
  const name = called(kind.label, work.name);
  const shut = () => {
    close();
    document.getElementById(`work-${work.id}`)?.focus();
  };
  return (
    <section class="panel noprint" aria-labelledby="chosen" onKeyDown={(e) => e.key === "Escape" && shut()}>
      <div class="panelhead">
        <Symbol kind={kind} status={statusOf(work)} />
        <div>
          <h2 id="chosen" ref={head} tabIndex={-1}>{name}</h2>
          <p class="soft">{kind.label}, {statusWords[statusOf(work)].toLowerCase()}</p>
        </div>
        <button type="button" class="close noprint" aria-label={`Close ${name}`} onClick={shut}>
          <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M5 5l14 14M19 5L5 19" /></svg>
        </button>
      </div>
      {kind.what && <p>{kind.what}</p>}
      {work.plain.map((text, i) => (
        <p key={i} class="plain">{text}</p>
      ))}
      <Figures work={work} />
      {work.checks.map((c, i) => (
        <div key={i} class={`check ${c.verdict === "fails" ? "fails" : ""}`}>
          <h3>
            <VerdictSign verdict={c.verdict} />
            {verdictWords(c.verdict)}
          </h3>
          <p>{c.text}</p>
        </div>
      ))}
      {kind.care && work.status !== "removed" && (
        <>
          <h3>What to look after</h3>
          <p>{kind.care}</p>
        </>
      )}
      {work.cautions.length > 0 && (
        <>
          <h3>Take care</h3>
          <ul class="cautions">
            {work.cautions.map((text, i) => (
              <li key={i}>{text}</li>
            ))}
          </ul>
        </>
      )}
      {work.photos.map((p) => (
        <figure key={p.sha} class="photo">
          <img src={`${link}/photos/${p.sha}`} alt={`${name}${p.on ? `, ${day(p.on)}` : ""}`} loading="lazy" />
          {p.on && <figcaption>{day(p.on)}</figcaption>}
        </figure>
      ))}
    </section>
  );
}

function Figures({ work }: { work: Work }) {
  if (work.figures.length === 0 && work.facts.length === 0) return null;
  const rough = work.figures.some(tooRough);
  return (
    <>
      <dl class="figures">
        {work.figures.map((f) => {
          const words = figureWords(f);
          return (
            <div key={f.name}>
              <dt>{f.label}</dt>
              <dd>
                <span class="value">{words.value}</span>
                <span class="soft">{[words.giveOrTake, words.how].filter(Boolean).join("; ")}</span>
              </dd>
            </div>
          );
        })}
        {work.facts.map((f) => (
          <div key={f.label}>
            <dt>{f.label}</dt>
            <dd><span class="value">{f.text}</span></dd>
          </div>
        ))}
      </dl>
      {rough && <p>A figure here is too rough to rely on. It needs a tape or a level.</p>}
    </>
  );
}

function VerdictSign({ verdict }: { verdict: string }) {
  const path = verdict === "holds" ? "M4 13l5 5L20 6" : verdict === "fails" ? "M5 5l14 14M19 5L5 19" : "M4 12h4M10 12h4M16 12h4";
  return <svg class="sign" viewBox="0 0 24 24" aria-hidden="true"><path d={path} /></svg>;
}
