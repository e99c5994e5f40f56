// What a gully's long section says in words: which dams meet, which do not, and what dashes and
// outlines mean. Pure.

import { capital } from "../base/words.ts";
import type { Section, SectionDam } from "../section/section.ts";
import { crestsNotLevelled, isDashed, isPlanned, silted } from "../section/draw.ts";
import { called, number } from "./words.ts";

const closedRun = ": levels taken up the gully and back to the start, where they must agree";

export const tenth = (m: number | undefined): string => `${number(Math.abs(m ?? 0), 1)}\u00a0m`;

/** Every pair of dams that does not meet, and what was not levelled, as sentences. */
export function inWords(s: Section): { text: string; fails: boolean }[] {
  const dam = (id: string) => called("a dam", s.dams.find((d) => d.id === id)?.name);
  const doubtful = s.dams
    .filter((d) => d.disagrees)
    .map((d) => ({
      fails: true,
      text: `The level and the place of ${called("a dam", d.name)} do not agree: it may stand elsewhere along the gully than drawn.`,
    }));
  const out = s.pairs.flatMap((p) => {
    if (p.verdict === "gap")
      return [
        { fails: true, text: `Gap of ${tenth(p.stepM)} between ${dam(p.lower)} and ${dam(p.upper)}: water falls on bare bed there.` },
      ];
    if (p.verdict === "hump")
      return [
        {
          fails: true,
          text: `Between ${dam(p.lower)} and ${dam(p.upper)} the gully bed stands ${tenth(p.hump?.aboveM)} above ${dam(p.lower)}: water falls on bare bed there.`,
        },
      ];
    if (p.verdict === "drowned")
      return [
        {
          fails: false,
          text: `Drowned toe: ${dam(p.lower)} stands ${tenth(p.stepM)} too high for ${dam(p.upper)}, so silt will bury the foot of that one.`,
        },
      ];
    return [];
  });
  for (const d of s.dams) {
    if (d.status === "failed") out.unshift({ fails: true, text: `${called("A dam", d.name)} has failed.` });
  }
  out.push(...doubtful);
  if (out.length === 0) out.push(...meetingWords(s).map((text) => ({ fails: false, text })));
  out.push(...lookWords(s).map((text) => ({ fails: false, text })));
  const unmeasured = s.dams.filter((d) => (d.crestLevelM === undefined || d.toeLevelM === undefined) && !d.heightM);
  if (unmeasured.length > 0)
    out.push({
      fails: false,
      text: `A circle marks the place of a dam whose height is not known yet: ${unmeasured.map((d) => called("a dam", d.name)).join(", ")}.`,
    });
  for (const text of s.notes.filter((t) => !t.includes("do not agree"))) out.push({ fails: false, text });
  return out;
}

/** Which dams meet the next one: of those that are built, and were judged, and of no other. */
export function meetingWords(s: Section): string[] {
  const dam = (id: string) => s.dams.find((d) => d.id === id);
  const name = (id: string) => called("a dam", dam(id)?.name);
  const meet = s.pairs.filter((p) => p.verdict === "level" && dam(p.lower)?.status === "built");
  if (meet.length > 0 && meet.length === s.pairs.length && s.dams.every((d) => d.status === "built"))
    return ["Each dam reaches up to the foot of the next one up the gully."];
  return meet.map((p) =>
    dam(p.upper)?.status === "built"
      ? `${capital(name(p.lower))} reaches up to the foot of ${name(p.upper)}.`
      : `${capital(name(p.lower))} reaches up to where the foot of ${name(p.upper)} is planned.`,
  );
}

/** What dashes and outlines mean, where there are any. */
function lookWords(s: Section): string[] {
  const planned = s.dams.filter((d) => isPlanned(d) && (d.crestLevelM !== undefined || d.heightM));
  const lines = silted(s);
  const withLine = planned.filter((d) => lines.has(d.id)).length;
  const silt =
    withLine === 0
      ? ""
      : withLine === planned.length
        ? "; the thin line is how far silt could fill up behind them"
        : "; where a thin line runs from the top of one, it is how far silt could fill up behind it";
  const { planned: asPlanned, byHand } = crestsNotLevelled(s);
  const tops = (dams: readonly SectionDam[], how: string) =>
    dams.length > 0
      ? [`Top not levelled yet, drawn as high as it was ${how}: ${dams.map((d) => called("a dam", d.name)).join(", ")}.`]
      : [];
  return [
    ...(isDashed(s) ? [`What is dashed is not yet checked by a closed level run${closedRun}.`] : []),
    ...tops(asPlanned, "planned"),
    ...tops(byHand, "measured by hand"),
    ...(planned.length > 0 ? [`Dams drawn in outline are planned, not built yet${silt}.`] : []),
  ];
}
