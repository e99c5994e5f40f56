// The items of a property in a table. One row at a time is a stop of the Tab key; the arrow keys
// go from row to row, and Enter opens the row's item.

import { useEffect, useRef, useState } from "preact/hooks";
import { type Feature, kindOf, stampedAt, textOf } from "../../base/entry.ts";
import { kindNamed } from "../../base/kinds.ts";
import { clockOrDay } from "../../base/words.ts";
import { ItemSymbol } from "../../map/symbol.tsx";
import { Button } from "../../ui/button.tsx";
import { type Column, columnLabels, columns, type Order } from "./rows.ts";

interface TableProps {
  readonly rows: readonly Feature[];
  readonly label: string;
  readonly order: Order;
  readonly reorder: (by: Column) => void;
  readonly personOf: (item: Feature) => string;
  readonly statusOf: (item: Feature) => string;
  readonly fresh: ReadonlySet<string>; // items that have just changed
  readonly selected: string | undefined;
  /** byKey: the focus is to follow. */
  readonly pick: (id: string, byKey: boolean) => void;
}

/** As many rows as are drawn at once: more are asked for. */
const atATime = 300;

export function ItemTable({ rows, label, order, reorder, personOf, statusOf, fresh, selected, pick }: TableProps) {
  const [many, setMany] = useState(atATime);
  const [at, setAt] = useState<string | undefined>(); // the row that the Tab key stops at
  const body = useRef<HTMLTableSectionElement>(null);
  const place = selected === undefined ? -1 : rows.findIndex((f) => f.id === selected);
  const shown = rows.slice(0, Math.max(many, place + 1));
  const stop = shown.find((f) => f.id === at) ?? shown[Math.max(0, place)];
  useEffect(() => {
    if (selected === undefined) return;
    setAt(selected);
    body.current?.querySelector(".chosen")?.scrollIntoView({ block: "nearest" });
  }, [selected]);
  const go = (to: number) => {
    const item = shown[Math.min(Math.max(0, to), shown.length - 1)];
    if (!item) return;
    setAt(item.id);
    const row = body.current?.children[shown.indexOf(item)];
    row?.querySelector<HTMLElement>(".open")?.focus();
  };
  const key = (e: KeyboardEvent, i: number) => {
    const to = keys[e.key]?.(i, shown.length);
    if (to === undefined) return;
    e.preventDefault();
    go(to);
  };
  const now = new Date();
  return (
    <>
      <table class="rows items" aria-label={label}>
        <thead>
          <tr>
            {columns.map((c) => (
              <th key={c} scope="col" aria-sort={order.by === c ? (order.down ? "descending" : "ascending") : undefined}>
                <button type="button" onClick={() => reorder(c)}>
                  {columnLabels[c]}
                  <svg class="turn" viewBox="0 0 12 12" aria-hidden="true">
                    {order.by === c && <path d={order.down ? "M2 4l4 5 4-5" : "M2 8l4-5 4 5"} />}
                  </svg>
                </button>
              </th>
            ))}
          </tr>
        </thead>
        <tbody ref={body}>
          {shown.map((f, i) => {
            const kind = kindNamed(kindOf(f));
            const name = textOf(f, "name").trim();
            return (
              <tr
                key={f.id}
                class={[f.id === selected ? "chosen" : "", fresh.has(f.id) ? "fresh" : ""].filter(Boolean).join(" ") || undefined}
                onClick={(e) => pick(f.id, e.detail === 0)} // a press of a key has no clicks
              >
                <td>
                  <span class="kindcell">
                    <ItemSymbol kind={kind} status={textOf(f, "status")} />
                    {kind.label}
                  </span>
                </td>
                <th scope="row">
                  <button
                    type="button"
                    class="open"
                    aria-label={`${name || "unnamed"}, ${kind.label}`}
                    tabIndex={f === stop ? 0 : -1}
                    aria-current={f.id === selected ? "true" : undefined}
                    onKeyDown={(e) => key(e, i)}
                  >
                    {name || <span class="soft">unnamed</span>}
                  </button>
                </th>
                <td>{statusOf(f)}</td>
                <td>
                  {clockOrDay(stampedAt(f), now)}
                  {fresh.has(f.id) && <b class="new"> new</b>}
                </td>
                <td>{personOf(f)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
      {rows.length > shown.length && (
        <Button wide press={() => setMany(shown.length + atATime)}>
          Show {Math.min(atATime, rows.length - shown.length)} more of {rows.length}
        </Button>
      )}
    </>
  );
}

/** To which row a key leads from one, of so many. */
const keys: { readonly [key: string]: (from: number, of: number) => number } = {
  ArrowDown: (from) => from + 1,
  ArrowUp: (from) => from - 1,
  PageDown: (from) => from + 10,
  PageUp: (from) => from - 10,
  Home: () => 0,
  End: (_, of) => of - 1,
};
