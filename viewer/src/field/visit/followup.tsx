// How works did: what gully heads and edges did since, silt and cover from year to year, and what held.

import { useState } from "preact/hooks";
import type { FollowUp } from "../../compute/followup.ts";
import { unbroken } from "../../base/number.ts";
import { plainProblem, type Problem } from "../../base/problem.ts";
import { dayOf } from "../../base/words.ts";
import { ageLines, changeLines, edgeLines, type Followed, headLines, heldLines, spentLines } from "../../survey/plan/followup.ts";
import { Frame, Opening } from "../../ui/frame.tsx";
import { useAsking } from "../../ui/hooks.ts";
import { type Params, useField } from "../context/field.ts";
import { LeftOut, ToWatch } from "../part/leftout.tsx";

const title = "How works did";

export function FollowUpScreen(_: { params: Params }) {
  const { plans, property, features } = useField();
  const [heard, hear] = useState<{ report?: FollowUp; refused?: Problem }>({});
  useAsking(
    () => plans.followUp(property.id, features, dayOf(new Date())).then((report) => ({ report })),
    [features],
    hear,
    (refused) => hear({ refused: plainProblem(refused as Problem) }),
  );
  const { report, refused } = heard;
  if (!report) return <Opening title={title} words="Calculating…" trouble={refused && { what: refused.reason, todo: refused.fix ?? "" }} />;
  const parts: readonly [string, readonly Followed[]][] = [
    ["Condition of works", report.held.map(heldLines)],
    ["Condition by age", report.ages.map(ageLines)],
    ["Gully heads", report.heads.map(headLines)],
    ["Gully edges walked again", report.edges.map(edgeLines)],
    ["Silt caught", report.silt.map(changeLines)],
    ["Ground cover", report.cover.map(changeLines)],
    ["Spent", spentLines(report.spent)],
  ];
  const some = parts.filter(([, all]) => all.length > 0);
  return (
    <Frame title={title}>
      {some.length === 0 && <p>Nothing is built, and nothing was measured twice yet.</p>}
      {some.map(([head, all]) => (
        <section key={head}>
          <h2>{head}</h2>
          {all.map((one, i) => (
            <FollowedItem key={`${one.feature} ${i}`} one={one} />
          ))}
        </section>
      ))}
      <LeftOut all={report.leftOut} />
      <ToWatch of={report.cautions} />
    </Frame>
  );
}

function FollowedItem({ one: { feature, name, lines } }: { one: Followed }) {
  return (
    <div class="followed">
      {feature ? (
        <a class="lead" href={`#/thing/${feature}`}>
          {name}
        </a>
      ) : (
        <b>{name}</b>
      )}
      {lines.map((line) => (
        <p key={line}>{unbroken(line)}</p>
      ))}
    </div>
  );
}
