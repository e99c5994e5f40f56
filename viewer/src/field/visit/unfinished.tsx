// Visits that were begun and not saved, when their page was left, closed or killed.

import { nameOf } from "../app/names.ts";
import type { Feature } from "../entry.ts";
import type { BegunVisit } from "./drafts.ts";

export function UnfinishedVisit({ visit, features }: { visit: BegunVisit; features: readonly Feature[] }) {
  const to = features.find((f) => f.id === visit.of);
  if (!to || features.some((f) => f.id === visit.id)) return null; // of another property, or saved
  return (
    <p class="caution">
      You began a visit to {nameOf(to, features)}. It is not saved yet.
      <a class="button wide" href={`#/visit/${to.id}`}>Continue the visit</a>
    </p>
  );
}
