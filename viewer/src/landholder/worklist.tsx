// Every work in a list: the form of the map that can be read aloud and reached by keyboard.

import type { Kind, Land, Work } from "./land.ts";
import { statusOf } from "./land.ts";
import type { Action } from "./state.ts";
import { Symbol } from "./symbol.tsx";
import { called, count, statusWords } from "./words.ts";

const openUpTo = 12; // in a longer list the kinds start closed, so that the page stays short

interface Props {
  land: Land;
  works: Work[];
  selected: string | null;
  act: (action: Action) => void;
}

export function WorkList({ land, works, selected, act }: Props) {
  const kinds = land.kinds.filter((k) => k.work && works.some((w) => w.kind === k.name));
  if (land.works.length === 0) return null;
  return (
    <section class="worklist noprint" aria-labelledby="worklist">
      <h2 id="worklist">The works one by one</h2>
      {kinds.length === 0 && <p>All works are taken off the map. Tick them above to see them.</p>}
      {kinds.map((k) => (
        <Group key={k.name} kind={k} works={works.filter((w) => w.kind === k.name)} open={works.length <= openUpTo} selected={selected} act={act} />
      ))}
    </section>
  );
}

function Group({ kind, works, open, selected, act }: { kind: Kind; works: Work[]; open: boolean; selected: string | null; act: (action: Action) => void }) {
  const holdsSelected = works.some((w) => w.id === selected);
  return (
    <details open={open || holdsSelected}>
      <summary>{count(works.length, kind.label.toLowerCase(), kind.plural.toLowerCase())}</summary>
      <ul>
        {works.map((w) => (
          <li key={w.id}>
            <button type="button" class="work" id={`work-${w.id}`} aria-pressed={w.id === selected} onClick={() => act({ do: "select", id: w.id, from: "list" })}>
              <Symbol kind={kind} status={statusOf(w)} />
              <span class="word">{called(kind.label, w.name)}</span>
              <span class="status">{statusWords[statusOf(w)]}</span>
            </button>
          </li>
        ))}
      </ul>
    </details>
  );
}
