// Numbers of a visit that the table allows and the thing itself makes unlikely: a figure in
// centimetres, a point slipped. They are asked about, never refused. Pure.

import { day } from "../../base/words.ts";
import { numberOf, type Feature } from "../../base/entry.ts";
import { meantBy, type Meant } from "../form/meant.ts";
import { measured, wrongIn, type Form, type Measure } from "./form.ts";
import { lastOf, type PastVisit } from "./visits.ts";

export interface Implausible {
  readonly measure: Measure;
  readonly typed: string; // what is doubted, as it stands in the form
  readonly metres: number;
  readonly question: string;
  readonly meant: readonly Meant[];
}

/** What to ask before the visit is saved; what the officer has said to be so is not asked again. */
export function implausibleIn(form: Form, thing: Feature, visits: readonly PastVisit[]): readonly Implausible[] {
  return [sediment(form, thing), head(form, visits)].filter((d): d is Implausible => d !== undefined && form.sure?.[d.measure] !== d.typed);
}

/** Silt stands no higher than the crest that holds it. */
function sediment(form: Form, thing: Feature): Implausible | undefined {
  const crestM = crestOf(thing);
  if (crestM === undefined || crestM <= 0) return undefined;
  return asked(
    form,
    "sediment",
    (m) => m <= crestM,
    (m) => `${m} m of sediment? The crest is ${crestM} m above the bed.`,
  );
}

/** Measured, else as it was pegged to be. */
function crestOf(dam: Feature): number | undefined {
  const toeM = numberOf(dam, "toeLevelM"),
    targetM = numberOf(dam, "targetCrestLevelM");
  return (
    numberOf(dam, "crestHeightM") ?? (toeM === undefined || targetM === undefined ? undefined : Math.round((targetM - toeM) * 1000) / 1000)
  );
}

/** A head is not ten times as far from its peg as it was, or ten times as near. Common practice, no source. */
const leap = 10;
/** Longer than any tape that is carried. Common practice, no source. */
const tapeM = 100;

function head(form: Form, visits: readonly PastVisit[]): Implausible | undefined {
  const last = lastOf(visits.filter((l) => l.headOffsetM !== undefined));
  const beforeM = last?.headOffsetM;
  if (!last || !beforeM)
    return asked(
      form,
      "headOffset",
      (m) => m <= tapeM,
      (m) => `${m} m from the hub peg? That is longer than a tape.`,
    );
  return asked(
    form,
    "headOffset",
    (m) => m < leap * beforeM && m > beforeM / leap,
    (m) => `${m} m from the hub peg? It was ${beforeM.toFixed(2)} m on ${day(last.on)}.`,
  );
}

function asked(
  form: Form,
  measure: Measure,
  fits: (metres: number) => boolean,
  question: (metres: number) => string,
): Implausible | undefined {
  const { field, metres } = measured(form, measure);
  if (metres === undefined || wrongIn(form)[measure] || fits(metres)) return undefined;
  return { measure, typed: form[measure], metres, question: question(metres), meant: meantBy(field, metres, fits) };
}
