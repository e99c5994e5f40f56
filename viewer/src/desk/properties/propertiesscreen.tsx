// The properties of this officer: what each has, and when something was last recorded there.

import { useEffect } from "preact/hooks";
import { clockOrDay, count } from "../../base/words.ts";
import { calledProperty } from "../../storage/chosenproperty.ts";
import type { Property } from "../../storage/store.ts";
import { useDesk } from "../context/desk.ts";
import { useSummaries } from "./summary.ts";

export function PropertiesScreen() {
  const { state, store } = useDesk();
  const all = (state.self?.properties ?? []).filter((p) => !p.into);
  const properties = [...all].sort((a, b) => calledProperty(a).localeCompare(calledProperty(b)));
  const summaries = useSummaries(
    store,
    properties.map((p) => p.id),
    state.counts,
  );
  useEffect(() => void (document.title = "Properties – Headcut at the desk"), []);
  const now = new Date();
  return (
    <>
      <header class="title">
        <p class="what">Headcut at the desk</p>
        <h1 tabIndex={-1}>Properties</h1>
        <p class="when">
          <a class="button" href="#/enrol">
            Add a property by a code
          </a>
        </p>
      </header>
      <table class="rows">
        <caption class="hidden">{count(properties.length, "property", "properties")}</caption>
        <thead>
          <tr>
            <th scope="col">Property</th>
            <th scope="col" class="number">
              Items
            </th>
            <th scope="col">Last entry</th>
            <th scope="col">By</th>
          </tr>
        </thead>
        <tbody>
          {properties.map((p) => {
            const summary = summaries.get(p.id);
            return (
              <tr key={p.id}>
                <th scope="row">
                  <a href={`#/property/${p.id}`}>
                    <span class="name">{calledProperty(p)}</span>
                    <Standing property={p} />
                  </a>
                </th>
                <td class="number">{summary?.items ?? "…"}</td>
                <td>{summary ? (summary.last ? clockOrDay(summary.last.at, now) : "Nothing recorded yet") : "…"}</td>
                <td>{summary?.last?.by}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </>
  );
}

/** What is not as usual with a property. */
function Standing({ property: { begun, barred } }: { property: Property }) {
  if (barred) return <span class="wrong">No right to it any more: ask the office. What was loaded stays here.</span>;
  return begun ? <span class="soft">begun on a phone, not accepted by the office yet</span> : null;
}
