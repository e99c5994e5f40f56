// What was begun and not saved, when the page was left, closed or killed: it is kept, and each
// of these says where.

import type { ComponentChildren } from "preact";
import { kindNamed } from "../../base/kinds.ts";
import { nameOf } from "../../base/names.ts";
import { clock, count } from "../../base/words.ts";
import { madeAt } from "../../base/uuid.ts";
import { factText } from "../../survey/item/facts.ts";
import { unrecorded, type Book } from "../../survey/levelbook/book.ts";
import { placeOf, textOf, type Feature } from "../../base/entry.ts";
import type { BegunLine } from "../../survey/line/drafts.ts";
import type { OpenForm } from "./openform.ts";
import type { BegunVisit } from "../../survey/visit/form.ts";

function Unfinished({ to, button = "Continue", children }: { to: string; button?: string; children: ComponentChildren }) {
  return (
    <p class="caution">
      {children}
      <a class="button wide" href={to}>
        {button}
      </a>
    </p>
  );
}

export function UnfinishedForm({ form, features }: { form: OpenForm; features: readonly Feature[] }) {
  return (
    <Unfinished to={`#/thing/${form.feature}/edit`}>
      You were filling in a {kindNamed(form.kind).label.toLowerCase()}. What you typed is not saved yet. {whichForm(form, features)}
    </Unfinished>
  );
}

const typedShown = 2;

/** What tells one form of a kind from another: the item's name, what was typed first, and when it was begun. */
function whichForm({ feature, kind, values }: OpenForm, features: readonly Feature[]): string {
  const known = features.find((f) => f.id === feature);
  const name = String(values["name"] ?? (known ? textOf(known, "name") : ""));
  const typed = kindNamed(kind)
    .fields.filter((f) => f.name !== "name" && (values[f.name] ?? "") !== "")
    .slice(0, typedShown)
    .map((f) => `${f.label} ${factText(f, values[f.name], features)}`);
  const at = madeAt(feature);
  const parts = [name, ...typed, at && `begun ${clock(at, new Date())}`].filter(Boolean);
  return parts.length > 0 ? `${parts.join(", ")}.` : "";
}

export function UnfinishedBook({ book }: { book: Book }) {
  const { correction, at } = book.pad;
  return (
    <Unfinished to={`#/level/${book.id}`}>
      {correction && !unrecorded(book)
        ? `You were writing row ${at + 1} of the level book ${book.name} again. The old reading counts until the new one is booked.`
        : !unrecorded(book)
          ? `You were keying row ${at + 1} of the level book ${book.name}. What you keyed is kept and not booked yet.`
          : `You were writing a level book, ${book.name}, with ${count(book.rows.length, "row", "rows")}. It is kept on this phone and saved when you open it.`}
    </Unfinished>
  );
}

export function UnfinishedLine({ line: { kind, shape, positions } }: { line: BegunLine }) {
  const label = kindNamed(kind).label.toLowerCase();
  return (
    <Unfinished to={`#/line/${kind}/${shape}`} button={`Continue the ${label}`}>
      {/^[aeiou]/.test(label) ? "An" : "A"} {label} of {count(positions, "point", "points")} is not saved yet.
    </Unfinished>
  );
}

export function UnfinishedShape({ id, stamp, features }: { id: string; stamp: string; features: readonly Feature[] }) {
  const item = features.find((f) => f.id === id);
  if (item?.stamp !== stamp) return null; // of another property, or changed since
  return (
    <Unfinished to={`#/shape/${id}`}>
      You were editing the {placeOf(item)?.type === "Point" ? "position" : "shape"} of {nameOf(item, features)}. It is not saved yet.
    </Unfinished>
  );
}

export function UnfinishedVisit({ visit, features }: { visit: BegunVisit; features: readonly Feature[] }) {
  const to = features.find((f) => f.id === visit.of);
  if (!to || features.some((f) => f.id === visit.id)) return null; // of another property, or saved
  return (
    <Unfinished to={`#/visit/${to.id}`} button="Continue the visit">
      You began a visit to {nameOf(to, features)}. It is not saved yet.
    </Unfinished>
  );
}
