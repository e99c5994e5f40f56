// The properties on this phone as a list, and how far what comes from the server has come.

import { useApp } from "../context/app.ts";
import { calledProperty } from "../../storage/chosenproperty.ts";
import { clock, count } from "../../base/words.ts";
import { useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Caution, Progress } from "../../ui/panel.tsx";
import { useRead } from "../../ui/hooks.ts";
import { keptWords } from "../../storage/persistence.ts";
import type { PropertyState } from "../../storage/store.ts";
import { awayWords, inOrder, ranked, type Ranked } from "./ranked.ts";
import type { SyncState } from "../../sync/state.ts";

/** The properties that can be opened, in the order in which they are listed. */
export function useRows(): readonly Ranked[] {
  const field = useField();
  const { state } = useApp();
  const states = useRead<readonly PropertyState[]>(
    () => field.store.properties(),
    [],
    `${state.counts?.unsent} ${JSON.stringify(state.self?.properties)} ${isLoaded(state.sync)}`,
  );
  return inOrder(ranked(states ?? [], state.fix), state.self?.opened ?? {});
}

interface ListProps {
  readonly rows: readonly Ranked[];
  readonly open: (row: Ranked) => void;
  readonly isOpen?: (row: Ranked) => boolean;
}

export function PropertyList({ rows, open, isOpen }: ListProps) {
  return (
    <ul class="list properties">
      {rows.map((row) => (
        <li key={row.property.id}>
          <Button wide {...(isOpen && { pressed: isOpen(row) })} press={() => open(row)}>
            <span class="word">
              <span class="name">{calledProperty(row.property)}</span>
              <Facts row={row} />
            </span>
          </Button>
        </li>
      ))}
    </ul>
  );
}

function Facts({ row }: { row: Ranked }) {
  const { property, awayM } = row;
  const unsent = [
    row.unsent > 0 && count(row.unsent, "entry", "entries"),
    row.photosUnsent > 0 && count(row.photosUnsent, "photo", "photos"),
  ]
    .filter(Boolean)
    .join(" and ");
  return (
    <>
      <span class={unsent ? "waiting" : "soft"}>{unsent ? `${unsent} not sent yet` : "nothing waits to be sent"}</span>
      <span class="soft">
        {[awayWords(awayM), row.recorded ? `last recorded ${clock(row.recorded, new Date())}` : "nothing recorded on this phone yet"]
          .filter(Boolean)
          .join(", ")}
      </span>
      {property.into && <span class="soft">merged into another property; finish here what was begun</span>}
      {property.begun && <span class="soft">begun on this phone, not accepted by the office yet</span>}
      {property.barred && (
        <span class="wrong">The office has not given this phone the right to it. Ask the office; what is recorded stays here.</span>
      )}
    </>
  );
}

/** Whether all that the server has of this phone's properties is on it. */
export const isLoaded = (sync: SyncState | null): boolean => sync?.state === "quiet" && !sync.loading;

/** How far what comes from the server has come, of all properties of this phone. */
export function Loading({ sync }: { sync: SyncState | null }) {
  const loading = sync?.loading;
  if (!loading) return null;
  return loading.photos ? (
    <Progress label="Small photos" done={loading.photos.got} of={loading.photos.of} />
  ) : (
    <Progress label="Entries" done={loading.entries} of={loading.ofEntries ?? undefined} />
  );
}

/** What may become of what is stored, where the browser has not promised to keep it. */
export function NotPromised() {
  const { storage } = useApp().state;
  if (!storage || storage.kept === true) return null;
  return <Caution>{keptWords(storage.kept)} Putting this page on the home screen usually makes it promise.</Caution>;
}
