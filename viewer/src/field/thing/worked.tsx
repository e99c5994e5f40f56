// What the computations say about a thing: figures, checks, and what to mind on the ground.

import { useEffect, useState } from "preact/hooks";
import type { Check, Sheet } from "../app/parts.ts";
import { useApp } from "../app/shell.tsx";
import type { Feature } from "../entry.ts";
import { useField } from "../field.ts";
import { Caution } from "../kit/part.tsx";
import { figureText, tooRough } from "./facts.ts";

export function Worked({ feature }: { feature: Feature }) {
  const field = useField();
  const { parts } = useApp();
  const [sheet, setSheet] = useState<Sheet | undefined>();
  const [why, setWhy] = useState("");
  useEffect(() => {
    let here = true;
    parts.sheets.of(field.property.id, field.features, feature.id).then(
      (s) => here && (setSheet(s), setWhy("")),
      (error: unknown) => here && setWhy(typeof (error as { reason?: unknown }).reason === "string" ? (error as { reason: string }).reason : "The figures cannot be worked out now."),
    );
    return () => void (here = false);
  }, [feature, field.features]);
  if (why) return <p class="soft">{why}</p>;
  if (!sheet) return null;
  return (
    <>
      {sheet.checks.map((check) => <Judged key={check.name} check={check} />)}
      {sheet.figures.length > 0 && (
        <>
          <h2>Worked out</h2>
          <dl class="facts">
            {sheet.figures.map((f) => {
              const words = figureText(f);
              return (
                <div key={f.name}>
                  <dt>{f.label}</dt>
                  <dd><b>{words.value}</b> <span class="soft">{words.how}{tooRough(f) && "; too rough to rely on: tape it or level it"}</span></dd>
                </div>
              );
            })}
          </dl>
        </>
      )}
      {sheet.cautions.map((c) => <Caution key={c.text}>{c.text}</Caution>)}
    </>
  );
}

const verdicts = { holds: "Holds", fails: "Does not hold", "not levelled": "Not levelled" } as const;
const signs = { holds: "M4 13l5 5L20 6", fails: "M5 5l14 14M19 5L5 19", "not levelled": "M4 12h4M10 12h4M16 12h4" } as const;

function Judged({ check }: { check: Check }) {
  return (
    <div class={`check ${check.verdict === "fails" ? "fails" : ""}`}>
      <h2><svg class="sign" viewBox="0 0 24 24" aria-hidden="true"><path d={signs[check.verdict]} /></svg>{verdicts[check.verdict]}</h2>
      <p>{check.text}</p>
    </div>
  );
}
