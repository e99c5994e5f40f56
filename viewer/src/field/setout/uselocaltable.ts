// The local table while it is typed: begun with the property's rows, kept on the phone at
// every key until it is saved for the property, and whether the computation takes it.

import { useState } from "preact/hooks";
import { useField } from "../context/field.ts";
import { textOf } from "../../base/entry.ts";
import {
  askRows,
  localTableKey,
  readTable,
  typedTable,
  wrongOf,
  type LocalTable,
  type SpacingRow,
  type Wrong,
} from "../../survey/setout/localtable.ts";
import { localRowsOf, settingsOf } from "../../survey/setout/settings.ts";
import { useAsked } from "../../compute/useasked.ts";
import { useAsking } from "../../ui/hooks.ts";

export interface OwnTable {
  readonly table: LocalTable | undefined; // undefined while it is read
  readonly change: (table: LocalTable) => void;
  readonly rows: readonly SpacingRow[] | undefined; // as the computation takes them; undefined when it does not
  readonly wrong: Wrong | undefined;
  readonly unkept: boolean; // the phone could not keep what was typed
  readonly onlyHere: boolean; // typed on this phone and not saved for the property
  readonly drop: () => void; // once it is saved for the property
}

export function useLocalTable(): OwnTable {
  const { store, model, property, features } = useField();
  const [table, setTable] = useState<LocalTable | undefined>();
  const [onlyHere, setOnlyHere] = useState(false);
  const [unkept, setUnkept] = useState(false);
  const key = localTableKey(property.id);
  const show = (kept: LocalTable | undefined) => {
    const settings = settingsOf(features, property.id);
    setTable(kept ?? typedTable(localRowsOf(settings), settings ? textOf(settings, "whoaBoySource") : ""));
    setOnlyHere(kept !== undefined);
  };
  useAsking(() => store.draft<LocalTable>(key).catch(() => undefined), [key], show);
  const change = (to: LocalTable) => {
    setTable(to);
    setOnlyHere(true);
    store.keepDraft(key, to).then(
      () => setUnkept(false),
      () => setUnkept(true),
    );
  };
  const drop = () => {
    setOnlyHere(false);
    store.dropDraft(key).catch(() => {}); // it is then offered once more
  };
  const read = table && readTable(table);
  const { output, refused } = useAsked(model, "whoa-boys", read && !read.wrong ? askRows(read.rows) : null);
  const wrong = !read ? undefined : (read.wrong ?? (refused ? wrongOf(refused, read.at) : undefined));
  return { table, change, rows: read && !read.wrong && output ? read.rows : undefined, wrong, unkept, onlyHere, drop };
}
