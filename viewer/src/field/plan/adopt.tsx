// Adopting a plan: its works become proposed ones, saved together, and are pegged from there.

import { useState } from "preact/hooks";
import { inWords } from "../../base/problem.ts";
import { count } from "../../base/words.ts";
import { changedSince, draftsOf, worksIn } from "../../survey/plan/ask.ts";
import { toBooksFor } from "../../survey/setout/pegway.ts";
import { earlierWorks } from "../../survey/item/takingback.ts";
import { useAsking } from "../../ui/hooks.ts";
import { Button } from "../../ui/button.tsx";
import { Caution, Trouble } from "../../ui/panel.tsx";
import { useField } from "../context/field.ts";
import { useSaving } from "../part/usesaving.ts";
import { Says } from "./made.tsx";
import type { Plan } from "./useplan.ts";

interface AdoptProps {
  readonly plan: Plan;
  readonly one: string; // "dam"
  readonly many: string;
}

/** What adopting would do, and what was done. */
export function Adopting({ plan: { adoption, barred, outcome }, one, many }: AdoptProps) {
  const { plans, property, features } = useField();
  const [changed, setChanged] = useState<Awaited<ReturnType<typeof plans.changed>>>({});
  useAsking(() => plans.changed(property.id, features), [features], setChanged);
  const works = adoption && worksIn(adoption);
  const edited = works?.filter((w) => !w.new).length ?? 0;
  return (
    <>
      <Says
        says={[
          ...(outcome ? changedSince(outcome.of.feature, features, changed) : []),
          ...(outcome?.says ?? []),
          ...(adoption?.says ?? []),
        ]}
      />
      {barred && <Caution>{inWords(barred)}</Caution>}
      {adoption && edited > 0 && (
        <p>{`${count(edited, `${one} that is proposed already is`, `${many} that are proposed already are`)} moved to this plan.`}</p>
      )}
      {adoption && adoption.changes.length === 0 && (
        <p role="status">
          <b>
            {adoption.known === 0
              ? "This plan is adopted."
              : `This plan is adopted: ${count(adoption.known, `${one} is`, `${many} are`)} proposed, nothing changed.`}
          </b>
        </p>
      )}
    </>
  );
}

/** The buttons below a plan: adopt it, then peg from it. */
export function AdoptButton({ plan: { adoption, outcome }, one, many }: AdoptProps) {
  const field = useField();
  const { failed, busy, save } = useSaving();
  if (!adoption || !outcome) return null;
  const works = worksIn(adoption).length;
  if (adoption.changes.length === 0) {
    const earlier = earlierWorks(adoption.plan, outcome.of.feature, field.features);
    const counted = count(earlier.length, one, many);
    const strike = async () => {
      await field.capture(
        earlier.map((f) => ({ feature: f.id, strike: true })),
        `${counted} of the earlier plan struck out`,
      );
      return "stays";
    };
    return (
      <>
        {failed && <Trouble {...failed} />}
        {earlier.length > 0 && (
          <Button wide disabled={busy} press={() => void save(strike)}>
            {`Strike out the ${counted} of the earlier plan`}
          </Button>
        )}
        <a class="button main wide" href={toBooksFor(outcome.of.feature)}>
          Peg from the plan
        </a>
      </>
    );
  }
  const adopt = async () => {
    await field.capture(draftsOf(adoption), works > 0 ? `${count(works, one, many)} proposed` : "Plan saved");
    return "stays";
  };
  return (
    <>
      {failed && <Trouble {...failed} />}
      <Button rank="main" wide disabled={busy} press={() => void save(adopt)}>
        {works > 0 ? `Adopt ${count(works, one, many)}` : "Adopt this plan"}
      </Button>
    </>
  );
}
