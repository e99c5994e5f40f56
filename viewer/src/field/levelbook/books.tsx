// The level runs of the property, to write in or to peg by, and a new one.

import type { ComponentChildren } from "preact";
import { count, day } from "../../base/words.ts";
import { kindOf, textOf, type Feature } from "../../base/entry.ts";
import { type Params, useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { useRead } from "../../ui/hooks.ts";
import { newID } from "../../base/uuid.ts";
import { openBookOf } from "../../survey/levelbook/drafts.ts";
import { pegsAlong, pegsWords, toBook, toPegging } from "../../survey/setout/pegway.ts";
import { live, rowsOf } from "../../survey/levelbook/row.ts";

export function Books(_: { params: Params }) {
  return <BookList title="Level" to={(id) => `#/level/${id}`} />;
}

export function PegBooks({ params }: { params: Params }) {
  const along = pegsAlong(params["along"], useField().features);
  return (
    <BookList title="Peg out" to={(id) => toPegging(id, along)} newTo={(id) => toBook(id, along)}>
      {along && <p>{`To peg ${pegsWords(along)}.`}</p>}
      <p>Pegging goes by a level and a staff, never by GPS heights. Choose the book in which the level is set up now.</p>
    </BookList>
  );
}

interface BookListProps {
  readonly title: string;
  readonly to: (id: string) => string; // the address that a book opens
  readonly newTo?: (id: string) => string;
  readonly children?: ComponentChildren;
}

const none = ""; // no book is being written, or it cannot be read which

/** Chooses a book, for writing or for pegging with its set-up. */
function BookList({ title, to, newTo = to, children }: BookListProps) {
  const field = useField();
  const open = useRead(async () => (await openBookOf(field.store, field.property.id)) ?? none, none, field.property.id);
  const runs = field.features.filter((f) => kindOf(f) === "level-run" && !f.struck).reverse();
  const known = runs.some((f) => f.id === open);
  const sorted = [...runs.filter((f) => f.id === open), ...runs.filter((f) => f.id !== open)];
  return (
    <Frame
      title={title}
      actions={
        <Button rank="main" wide press={() => field.go(newTo(newID()))}>
          New level book
        </Button>
      }
    >
      {children}
      {runs.length === 0 && open === none ? (
        <p>No level book yet. Set the level up, and begin with a backsight on a benchmark or on a peg whose level you assume.</p>
      ) : (
        open !== undefined && (
          <ul class="list books">
            {open && !known && (
              <li>
                <Button wide press={() => field.go(to(open))}>
                  Continue the book begun on this phone
                </Button>
              </li>
            )}
            {sorted.map((f) => (
              <li key={f.id}>
                <Button wide press={() => field.go(to(f.id))}>
                  <span class="name">{textOf(f, "name") || "Level run"}</span>{" "}
                  <span class="soft">
                    {about(f)}
                    {f.id === open && ", open"}
                    {f.unsent > 0 && ", not sent yet"}
                  </span>
                </Button>
              </li>
            ))}
          </ul>
        )
      )}
    </Frame>
  );
}

function about(f: Feature): string {
  const rows = rowsOf(f),
    struck = rows.length - live(rows).length,
    on = textOf(f, "observedOn");
  return [count(rows.length, "row", "rows") + (struck ? ` (${struck} struck out)` : ""), on && day(on)].filter(Boolean).join(", ");
}
