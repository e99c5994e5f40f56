// The properties on this phone, the nearest first where the phone knows where it is: what of
// each is not sent yet, and which one is open.

import type { Params } from "../app/screens.ts";
import { useApp } from "../app/shell.tsx";
import { calledProperty } from "../app/property.ts";
import { clock, count, distance } from "../app/words.ts";
import { useField } from "../field.ts";
import { Frame } from "../kit/frame.tsx";
import { Button } from "../kit/button.tsx";
import { useRead } from "../kit/useread.ts";
import { partsOf } from "../shelf/properties.ts";
import type { PropertyState } from "../shelf.ts";
import { isLoaded, Loading } from "./load.tsx";
import { inOrder, ranked, type Ranked } from "./ranked.ts";

export function ChooseProperty(_: { params: Params }) {
  const field = useField();
  const { state, tell } = useApp();
  const rows = useRows();
  const root = partsOf(state.self?.properties ?? [], field.property.id)[0];
  const open = ({ property }: Ranked) => {
    tell({ do: "property", property });
    field.go(property.id === field.property.id ? "#/" : "#/load");
  };
  return (
    <Frame
      title="Properties"
      actions={
        <div class="row">
          <a class="button" href="#/enrol">Add by a code</a>
          <a class="button main" href="#/property/new">Begin a property here</a>
        </div>
      }
    >
      <p class="soft" role="status">{isLoaded(state.link) ? "All of these are on this phone." : state.link?.loading ? "Loading onto this phone" : state.link?.words}</p>
      <Loading link={state.link} />
      <PropertyList rows={rows} open={open} isOpen={({ property }) => property.id === field.property.id || (property.id === root && property.id !== field.property.id)} />
      <p class="soft">What is not sent is sent for every property, whichever is open.</p>
    </Frame>
  );
}

/** The properties that can be opened, in the order in which they are listed. */
export function useRows(): readonly Ranked[] {
  const field = useField();
  const { state } = useApp();
  const states = useRead<readonly PropertyState[]>(() => field.shelf.properties(), [], `${state.tally?.unsent} ${JSON.stringify(state.self?.properties)} ${isLoaded(state.link)}`);
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
  const unsent = [row.unsent > 0 && count(row.unsent, "entry", "entries"), row.photosUnsent > 0 && count(row.photosUnsent, "photo", "photos")].filter(Boolean).join(" and ");
  return (
    <>
      <span class={unsent ? "waiting" : "soft"}>{unsent ? `${unsent} not sent yet` : "nothing waits to be sent"}</span>
      <span class="soft">
        {[awayM !== undefined && (awayM < 100 ? "here" : `${distance(awayM)} away`), row.recorded ? `last recorded ${clock(row.recorded, new Date())}` : "nothing recorded on this phone yet"].filter(Boolean).join(", ")}
      </span>
      {property.into && <span class="soft">merged into another property; finish here what was begun</span>}
      {property.begun && <span class="soft">begun on this phone, not accepted by the office yet</span>}
      {property.barred && <span class="wrong">The office has not given this phone the right to it. Ask the office; what is recorded stays here.</span>}
    </>
  );
}
