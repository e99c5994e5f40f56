// What every plan says of itself: why there is none, what it was made from, and what is still to measure.

import { textOf } from "../../base/entry.ts";
import { inWords, type Problem } from "../../base/problem.ts";
import { count } from "../../base/words.ts";
import { unbroken } from "../../base/number.ts";
import type { Adoption, Outcome } from "../../compute/plan.ts";
import { LeftOut, List, nameOf, on } from "../part/leftout.tsx";
import { Choice } from "../../ui/choice.tsx";
import { Caution, Fold, Trouble } from "../../ui/panel.tsx";
import { runsOf } from "../../survey/plan/ask.ts";
import { useField } from "../context/field.ts";

/** Why there is no plan, in the trade's words. */
export function Refusals({ outcome, refused }: { outcome: Outcome | undefined; refused: Problem | undefined }) {
  const all = refused ? [inWords(refused)] : (outcome?.refused ?? []);
  if (all.length === 0) return null;
  return (
    <Trouble what="No plan can be made yet.">
      {all.map((why) => (
        <p key={why}>{unbroken(why)}</p>
      ))}
    </Trouble>
  );
}

/** What differs from what stands, and what to look at. */
export function Says({ says }: { says: readonly string[] }) {
  return (
    <>
      {[...new Set(says)].map((one) => (
        <Caution key={one}>{unbroken(`${one[0]!.toUpperCase()}${one.slice(1)}`)}</Caution>
      ))}
    </>
  );
}

export function RunChoice({ outcome, pick }: { outcome: Outcome; pick: (run: string) => void }) {
  const { used, all } = runsOf(outcome);
  if (all.length < (used ? 2 : 1)) return null;
  return (
    <Choice
      label="Levels from"
      required
      value={used}
      of={all.map((r) => ({ value: r.id, label: unbroken(r.words) }))}
      pick={(run) => pick(run ?? "")}
    />
  );
}

/** What a plan was made from, what it leaves out, and what is still to measure. */
export function Made({ outcome: { used, leftOut: all, missing }, adoption }: { outcome: Outcome; adoption: Adoption | undefined }) {
  const { features } = useField();
  const own = new Set(features.filter((f) => adoption && textOf(f, "plan") === adoption.plan).map((f) => f.id));
  const leftOut = all.filter((l) => !own.has(l.feature));
  return (
    <>
      {missing.length > 0 && (
        <Fold title={`Still to measure: ${missing.length}`}>
          <List>{missing.map((one) => `${one[0]!.toUpperCase()}${one.slice(1)}`)}</List>
        </Fold>
      )}
      <LeftOut all={leftOut} />
      {used.length > 0 && (
        <Fold title={`What it was made from: ${count(used.length, "item", "items")}`}>
          <List>{used.map((u) => `${nameOf(u)}${on(u)}: ${u.what}.`)}</List>
        </Fold>
      )}
    </>
  );
}
