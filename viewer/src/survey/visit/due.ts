// What there is to visit: works and heads over which a wet season has gone since anybody
// looked, and photo points whose photo is old. Pure.

import { kindNamed } from "../../base/kinds.ts";
import { day } from "../../base/words.ts";
import { kindOf, textOf, type Feature } from "../../base/entry.ts";
import { photosOf } from "../../base/album.ts";
import { judged, lastOf, visitsByThing, type PastVisit } from "./visits.ts";
import { lastEnded, monthsOn, usualWet, type Seasons } from "./season.ts";

export interface Due {
  readonly feature: Feature;
  readonly what: "visit" | "photo";
  readonly since: string; // the last look, photo or the day it was built; "" when never
  readonly words: string;
}

/** Those longest unseen first, never seen before all. */
export function dueNow(features: readonly Feature[], today: string, seasons: Seasons): readonly Due[] {
  const visits = visitsByThing(features);
  const wetEnded = lastEnded(today, seasons.wet ?? usualWet);
  const photoBy = monthsOn(today, -seasons.retakeMonths);
  const due = features
    .filter((f) => !f.struck)
    .flatMap((feature): Due[] => {
      const of = visits.get(feature.id) ?? [];
      if (kindOf(feature) === "photo-point") return photoDue(feature, of, photoBy);
      return isVisited(feature) ? visitDue(feature, of, wetEnded) : [];
    });
  return due.sort((a, b) => a.since.localeCompare(b.since));
}

/** Works that stand, and heads that move. */
function isVisited(f: Feature): boolean {
  const kind = kindNamed(kindOf(f));
  return kind.name === "gully-head" || (kind.work && ["built", "failed"].includes(textOf(f, "status")));
}

function visitDue(feature: Feature, visits: readonly PastVisit[], wetEnded: string): Due[] {
  const seen = lastOf(visits.filter(judged))?.on;
  const since = seen ?? (textOf(feature, "builtOn") || textOf(feature, "observedOn"));
  if (since !== "" && since >= wetEnded) return [];
  const words = seen
    ? `not visited since the wet; last visit ${day(seen)}`
    : seen === ""
      ? "last visit on a day not known"
      : since
        ? `${textOf(feature, "builtOn") ? "built" : "recorded"} ${day(since)}, not visited yet`
        : "never visited";
  return [{ feature, what: "visit", since, words }];
}

function photoDue(feature: Feature, visits: readonly PastVisit[], photoBy: string): Due[] {
  const photos = visits.filter((l) => l.photos.length > 0);
  const dates = photos.map((l) => l.on).filter(Boolean);
  if (photosOf(feature).length > 0) dates.push(textOf(feature, "observedOn"));
  const since = lastOf(dates.sort()) ?? "";
  if (since > photoBy) return [];
  return [
    {
      feature,
      what: "photo",
      since,
      words: since ? `last photo ${day(since)}: retake it` : photos.length > 0 ? "no photo of a known day yet" : "no photo yet",
    },
  ];
}
