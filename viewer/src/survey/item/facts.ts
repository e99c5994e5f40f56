// A thing's fields as they are read, and figures with how good they are: pure.

import { device } from "../../base/page.ts";
import { basisWords, type Basis } from "../../base/basis.ts";
import { millimetres, number, toMillimetre, withPlusMinus } from "../../base/number.ts";
import { type Field, fieldNamed, fieldsOf, type Kind, kindNamed, unitInWords, wordNow } from "../../base/kinds.ts";
import type { Check, Figure, Sheet } from "../../compute/sheets.ts";
import { labelOf } from "../../base/names.ts";
import { called, day } from "../../base/words.ts";
import { kindOf, numberOf, placeOf, textOf, type Feature } from "../../base/entry.ts";
import { endWords } from "../setout/lineends.ts";
import { measuredText, type Newest } from "../visit/newest.ts";
import { noRanges, type CoverRanges } from "../visit/cover.ts";

export interface Fact {
  readonly name: string;
  readonly label: string;
  readonly text: string;
  readonly clash: boolean;
}

const unread = new Set(["kind", "geometry", "name", "photos", "gpsHeightsM", "positionBasis"]);

/**
 * The fields of a thing that have a value, in the table's order, the kind's own first; how a
 * value was measured stands beside it. What a visit measured stands with its day in place of
 * what was written down before, and what stands among the figures, with its ±, is not said twice.
 */
export function factsOf(
  feature: Feature,
  features: readonly Feature[],
  newest?: Newest,
  ranges: CoverRanges = noRanges,
  { figures, cautions }: Pick<Sheet, "figures" | "cautions"> = { figures: [], cautions: [] },
): readonly Fact[] {
  const kind = kindNamed(kindOf(feature));
  const many = kind.fields.length;
  const howText = (field: string | undefined) =>
    field && typeof feature.fields[field] === "string" ? `, ${basisWords[feature.fields[field] as Basis] ?? feature.fields[field]}` : "";
  const rangeText = (field: Field) => (field.name === "coverPct" && ranges.has(feature.id) ? `, ${ranges.get(feature.id)}` : "");
  const fields = fieldsOf(kind);
  const ordered = [...fields.slice(fields.length - many), ...fields.slice(0, fields.length - many)];
  const hows = new Map(ordered.filter((f) => f.basis).map((f) => [f.basis === "positionBasis" ? "accuracyM" : f.name, f.basis!]));
  const beside = new Set(hows.values());
  const seen = new Map(newest?.measured.filter((m) => m.visit !== undefined).map((m) => [m.name, m]));
  const atVisits = [...seen.values()].map((m) => ({
    name: m.name,
    label: fieldNamed("visit", m.name).label,
    text: `${measuredText(m.name, m.value, ranges.get(m.visit!))}, ${day(m.on ?? "")}`,
    clash: feature.clashes.includes(m.name),
  }));
  const levelled = cautions.some((c) => c.about === "levelM") // only of a peg that no closed run proves
    ? basisWords.unproven + noDoubt.unproven
    : `${basisWords.levelled}, ± not known`;
  const figured = (f: Field) =>
    figures.some(
      (g) =>
        g.name === f.name &&
        (f.name === "chainageM"
          ? g.basis === chainageBasisOf(feature) // turned or not: its figure says both
          : g.value === feature.fields[f.name] && g.basis === feature.fields[hows.get(f.name) ?? ""]),
    );
  /** What a figure of the same name gives otherwise is said to be what was typed. */
  const labelled = (f: Field) => {
    const label = labelOf(feature, f);
    return figures.some((g) => g.name === f.name && g.label === label) ? `${label}, as entered` : label;
  };
  const own = ordered
    .filter(
      (f) =>
        !figured(f) &&
        !unread.has(f.name) &&
        !beside.has(f.name) &&
        !seen.has(f.name) &&
        feature.fields[f.name] !== undefined &&
        feature.fields[f.name] !== null,
    )
    .map((f) => ({
      name: f.name,
      label: labelled(f),
      text:
        ((f.name === "chainageZero" && endWords(textOf(feature, f.name), placeOf(feature))) ||
          factText(f, feature.fields[f.name], features)) +
        rangeText(f) +
        (f.name.startsWith("target") && !hows.has(f.name) ? `, ${basisWords["from plan"]}` : "") +
        (byLevel(feature, f) && !figures.some((g) => g.name === f.name) ? `, ${levelled}` : howText(hows.get(f.name))),
      clash: feature.clashes.includes(f.name),
    }));
  return [...atVisits, ...own];
}

/** Whether a field was worked out at the peg from a level run; how good it is nobody has worked out, but where it stands among the figures too. */
const byLevel = (feature: Feature, field: Field): boolean =>
  textOf(feature, "levelRun") !== "" &&
  !field.name.startsWith("target") &&
  (/[lL]evelM$/.test(field.name) || field.name === "trackSlopePct");

export function factText(field: Field, value: unknown, features: readonly Feature[]): string {
  switch (field.type) {
    case "number":
    case "integer":
      if (field.name === "runPerRise") return `1 in ${value}`;
      return withUnit(/[lL]evelM$/.test(field.name) && typeof value === "number" ? toMillimetre(value) : String(value), field.unit);
    case "yes-no":
      return value === true ? "yes" : "no";
    case "date":
      return day(String(value));
    case "feature": {
      const meant = features.find((f) => f.id === value);
      return meant ? called(textOf(meant, "name"), kindNamed(kindOf(meant)).label) : `an item that is not on this ${device}`;
    }
    case "choice":
      return wordNow(field, String(value));
    case "numbers":
      return Array.isArray(value) ? withUnit(value.map((n) => n ?? "not known").join(", "), field.unit) : "no list";
    case "rates":
    case "rain-rows":
    case "spacing-rows":
      return Array.isArray(value) ? `${value.length} rows` : "no table";
    case "level-rows":
      return Array.isArray(value) ? `${value.length} rows` : "not a book";
    default:
      return String(value);
  }
}

/** A dam that is pegged by level has a crest to be measured only once it is built. */
const comesLater = (field: string, feature: Feature): boolean =>
  field === "crestHeightM" &&
  typeof feature.fields["targetCrestLevelM"] === "number" &&
  ["proposed", "pegged"].includes(textOf(feature, "status"));

/** Fields that nobody has given yet, and no visit has measured: those that are required, and the day of what is built. */
export function missing(kind: Kind, feature: Feature, newest?: Newest): readonly Field[] {
  const measured = new Set(newest?.measured.map((m) => m.name));
  return fieldsOf(kind).filter(
    (f) =>
      (f.required || (f.name === "builtOn" && textOf(feature, "status") === "built")) &&
      (feature.fields[f.name] ?? null) === null &&
      !comesLater(f.name, feature) &&
      !measured.has(f.name),
  );
}

/** "2 m", "121°": a degree sign stands at its number. */
function withUnit(value: string, code: string | undefined): string {
  const unit = unitInWords(code);
  return unit === "°" ? `${value}°` : unit ? `${value} ${unit}` : value;
}

/** A chainage was asked for as a taped one before it was asked how it was measured. */
const chainageBasisOf = (feature: Feature): string => textOf(feature, "chainageBasis") || "taped";

/**
 * "9.0 ± 0.4 m" and "by tape", and why where there is no ±. A chainage says from which end it
 * counts, and stands first as it was booked: a form asks for it so.
 */
export function figureText(f: Figure, of?: Feature): { value: string; how: string } {
  const doubt = f.plusMinus ?? 0;
  if (inMillimetres.has(f.name)) {
    const value = doubt > 0 ? `${number(f.value * 1000, 1)} ± ${millimetres(doubt)}` : millimetres(f.value);
    return { value, how: basisWords[f.basis] };
  }
  const text = doubt > 0 ? withPlusMinus(f.value, doubt) : number(f.value, Math.abs(f.value) < 10 ? 2 : 1);
  const booked = of && f.name === "chainageM" ? numberOf(of, "chainageM") : undefined;
  const turned = booked !== undefined && f.basis === chainageBasisOf(of!) && Math.abs(booked - f.value) >= 0.001;
  const from = of && f.name === "chainageM" ? " up from the downstream end" : "";
  const value = `${turned ? `${withUnit(String(booked), f.unit)} from the head, ` : ""}${withUnit(text, f.unit)}${from}`;
  return { value, how: `${basisWords[f.basis] ?? f.basis}${f.plusMinus === undefined ? noDoubt[f.basis] : ""}` };
}

/** Figures that a level book gives in millimetres. */
const inMillimetres = new Set(["misclosureM", "allowableM"]);

/** Why a figure has no plus-minus, after the words of its basis. */
const noDoubt: { readonly [basis in Basis]: string } = {
  levelled: ", ± not known: the level run is not closed",
  taped: ", ± not known",
  GPS: ", ± not known: no accuracy was recorded with the positions",
  "drawn on the map": ", ± not known: no accuracy was recorded with the drawing",
  estimated: ", which has no ±",
  "from plan": "",
  "not recorded": "",
  unproven: ", so its ± is not known",
};

/** Figures that may well be near zero, where half of the figure says nothing about its worth. */
const nearZero = new Set(["stepM", "offContourM", "offsetM", "chainageM", "misclosureM"]);

/** So uncertain that it must be taped or levelled before it is relied on. */
export const tooRough = (f: Figure): boolean =>
  f.basis === "GPS" && !nearZero.has(f.name) && (f.plusMinus ?? 0) > 0 && f.plusMinus! >= Math.abs(f.value) / 2;

/** The answer of a check: "OK", "Gap", "Hump", "Drowned toe", "Off contour", "Not closed", "Closed in part", "Not levelled". */
export function verdictWords({ name, verdict, text, rule }: Check): string {
  if (verdict === "OK") return "OK";
  if (name === "dam-check" && text.startsWith("Its toe is levelled")) return "Toe levelled, crest not";
  if (name === "level-run" && text.startsWith("The run is closed as far as")) return "Closed in part";
  if (name === "level-run") return verdict === "not levelled" ? "Not closed yet" : "Not closed";
  if (verdict === "not levelled") return "Not levelled";
  if (name === "contour-check") return /whoa-boy/.test(rule) ? "Does not drain" : "Off contour";
  return /drown/.test(text) ? "Drowned toe" : /: a hump/.test(text) ? "Hump" : "Gap";
}

/** What came out, short enough for one line; the worst of several checks is told, and nothing of an item that has no figures. */
export function glance(sheet: Sheet | undefined, why: string, condition = "", clashes = 0): string {
  if (clashes > 0) return "In doubt: two people recorded different values";
  if (why) return "Not calculated: see below";
  if (!sheet) return "Calculating…";
  for (const verdict of ["fails", "not levelled", "OK"] as const) {
    const worst = sheet.checks.find((c) => c.verdict === verdict);
    if (worst && verdict === "OK" && ["needs work", "failed"].includes(condition)) return "Levels OK, but see the condition"; // levels that meet make no broken dam sound
    if (worst) return `${verdictWords(worst)}: see below`;
  }
  const [first] = sheet.figures;
  if (!first) return "";
  return `${first.label} ${figureText(first).value}${sheet.cautions.some((c) => c.about === first.name) ? ", caution below" : ""}`;
}
