// The local table of the property, kept on the phone at every key, and whether the
// computation takes it.

import { useEffect, useState } from "preact/hooks";
import { useField } from "../field.ts";
import { askRows, localTableKey, noTable, readTable, wrongOf, type LocalTable, type SpacingRow, type Wrong } from "./localtable.ts";
import { useAsked } from "./useaim.ts";

export interface OwnTable {
  readonly table: LocalTable | undefined; // undefined while it is read
  readonly change: (table: LocalTable) => void;
  readonly rows: readonly SpacingRow[] | undefined; // as the computation takes them; undefined when it does not
  readonly wrong: Wrong | undefined;
  readonly unkept: boolean; // the phone could not keep what was typed
}

export function useLocalTable(): OwnTable {
  const { shelf, property } = useField();
  const [table, setTable] = useState<LocalTable | undefined>();
  const [unkept, setUnkept] = useState(false);
  const key = localTableKey(property.id);
  useEffect(() => {
    let here = true;
    shelf.draft<LocalTable>(key).then((kept) => here && setTable(kept ?? noTable), () => here && setTable(noTable));
    return () => void (here = false);
  }, [key]);
  const change = (to: LocalTable) => {
    setTable(to);
    shelf.keepDraft(key, to).then(() => setUnkept(false), () => setUnkept(true));
  };
  const read = table && readTable(table);
  const { output, refused } = useAsked("whoa-boys", read && !read.wrong ? askRows(read.rows) : null);
  const wrong = !read ? undefined : read.wrong ?? (refused ? wrongOf(refused, read.at) : undefined);
  return { table, change, rows: read && !read.wrong && output ? read.rows : undefined, wrong, unkept };
}
