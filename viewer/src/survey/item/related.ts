// What belongs together: the runs of a gully that is levelled, the gully, and what stands in it; the stock
// and the pasture assessments of a paddock. The page of each leads to the others. Pure.

import { kindOf, numberOf, textOf, type Feature } from "../../base/entry.ts";
import { rowsOf } from "../levelbook/row.ts";

export interface Related {
  readonly label: string;
  readonly items: readonly Feature[];
}

/** Chainages of the dams of a gully, as its long section has them. */
type SectionDams = readonly { readonly id: string; readonly chainageM: number }[];

/** The gully whose long section orders what is related: the feature itself, or the one it stands in. */
export const gullyOf = (feature: Feature): string | undefined =>
  kindOf(feature) === "thalweg" ? feature.id : kindOf(feature) === "check-dam" ? textOf(feature, "thalweg") || undefined : undefined;

/** section is what is worked out of that gully: undefined until it is, when what was written down orders the dams. */
export function relatedTo(feature: Feature, features: readonly Feature[], section?: SectionDams): readonly Related[] {
  const standing = features.filter((f) => !f.struck);
  const find = (id: unknown) => standing.filter((f) => f.id === id);
  const kind = kindOf(feature);
  const chainageOf = (dam: Feature) => section?.find((d) => d.id === dam.id)?.chainageM ?? numberOf(dam, "chainageM");
  const damsOf = (thalweg: string) =>
    standing
      .filter(
        (f) =>
          kindOf(f) === "check-dam" &&
          (textOf(f, "thalweg") === thalweg || (textOf(f, "thalweg") === "" && section?.some((d) => d.id === f.id))),
      )
      .sort((a, b) => (chainageOf(a) ?? Infinity) - (chainageOf(b) ?? Infinity));
  const runs = standing.filter(
    (f) =>
      kindOf(f) === "level-run" &&
      (f.id === feature.fields["levelRun"] || rowsOf(f).some((row) => !row.struck && row.feature === feature.id)),
  );
  const all: Related[] = [];
  if (kind === "level-run") {
    const ids = [...new Set(rowsOf(feature).flatMap((row) => (row.struck || row.feature === undefined ? [] : [row.feature])))];
    const levelled = ids.flatMap(find);
    const gullies = levelled
      .filter((f) => kindOf(f) === "check-dam")
      .flatMap((dam) => find(dam.fields["thalweg"]))
      .filter((gully, i, them) => them.indexOf(gully) === i && !levelled.includes(gully));
    all.push({ label: "Levelled in it", items: [...levelled, ...gullies] });
  } else {
    all.push({ label: "Levelled in", items: runs });
  }
  if (kind === "paddock") {
    const inIt = (kind: string, day: string) =>
      standing
        .filter((f) => kindOf(f) === kind && textOf(f, "paddock") === feature.id)
        .sort((a, b) => textOf(b, day).localeCompare(textOf(a, day)));
    all.push({ label: "Stock, the newest first", items: inIt("stocking", "stockInOn") });
    all.push({ label: "Pasture assessments, the newest first", items: inIt("pasture-assessment", "observedOn") });
  }
  if (kind === "thalweg") all.push({ label: "Dams in it, going upstream", items: damsOf(feature.id) });
  if (kind === "check-dam") {
    const gully = find(feature.fields["thalweg"]);
    const dams = gully[0] ? damsOf(gully[0].id) : [];
    const at = dams.findIndex((f) => f.id === feature.id);
    const placed = chainageOf(feature) !== undefined;
    all.push({ label: "In the gully", items: gully });
    if (placed && at > 0) all.push({ label: "Next dam downstream", items: [dams[at - 1]!] });
    if (placed && dams[at + 1] && chainageOf(dams[at + 1]!) !== undefined) all.push({ label: "Next dam upstream", items: [dams[at + 1]!] });
  }
  return all.filter((one) => one.items.length > 0);
}

/** The page of a feature: of a level run, its book. */
export const pageOf = (f: Feature): string => (kindOf(f) === "level-run" ? `#/level/${f.id}` : `#/thing/${f.id}`);
