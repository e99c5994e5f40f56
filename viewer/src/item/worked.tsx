// What the computations say about a thing: figures, checks, and what to mind on the ground.

import type { Feature } from "../base/entry.ts";
import { unbroken } from "../base/number.ts";
import type { Check } from "../compute/sheets.ts";
import { Caution } from "../ui/panel.tsx";
import { Icon } from "../ui/icon.tsx";
import { figureText, glance, tooRough, verdictWords } from "../survey/item/facts.ts";
import type { Working } from "./usesheet.ts";

/** How it comes out, in one line that is there from the start. */
export function Glance({ working, condition, clashes = 0 }: { working: Working; condition?: string | undefined; clashes?: number }) {
  return (
    <p class="glance" role="status">
      {unbroken(glance(working.sheet, working.why, condition, clashes))}
    </p>
  );
}

/** The checks and the figures, or why there are none. */
export function Worked({ of, working: { sheet, why }, clashes = 0 }: { of: Feature; working: Working; clashes?: number }) {
  if (why) return <p class="soft">{why}</p>;
  if (!sheet) return null;
  return (
    <>
      {sheet.checks.map((check) => (
        <Judged key={check.name} check={check} />
      ))}
      {sheet.figures.length > 0 && (
        <>
          <h2>Figures</h2>
          {clashes > 0 && <Caution>In doubt: they rest on one of two values that people recorded. Settle it first.</Caution>}
          <dl class="facts">
            {sheet.figures.map((f) => {
              const words = figureText(f, of);
              return (
                <div key={f.name}>
                  <dt>{f.label}</dt>
                  <dd>
                    <b>{unbroken(words.value)}</b>{" "}
                    <span class="soft">
                      {words.how}
                      {tooRough(f) && "; too uncertain to rely on: tape it or level it"}
                    </span>
                  </dd>
                </div>
              );
            })}
          </dl>
        </>
      )}
    </>
  );
}

/** What to mind, about the figures and on the ground. */
export function Cautions({ working: { sheet } }: { working: Working }) {
  return (
    <>
      {sheet?.cautions.map((c) => (
        <Caution key={c.text}>{unbroken(c.text)}</Caution>
      ))}
    </>
  );
}

const signs = { OK: "M4 13l5 5L20 6", fails: "M5 5l14 14M19 5L5 19", "not levelled": "M4 12h4M10 12h4M16 12h4" } as const;

function Judged({ check }: { check: Check }) {
  return (
    <div class={`check ${check.verdict === "fails" ? "fails" : ""}`}>
      <h2>
        <Icon path={signs[check.verdict]} />
        {verdictWords(check)}
      </h2>
      <p>{unbroken(check.text)}</p>
    </div>
  );
}
