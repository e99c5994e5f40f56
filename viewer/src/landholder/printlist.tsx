// The list of works as it is printed: every work with its dates.

import type { Item, Kind, Land } from "./land.ts";
import { statusOf } from "./land.ts";
import { called, day, statusWords } from "./words.ts";

export function PrintList({ land, kind }: { land: Land; kind: (name: string) => Kind }) {
  if (land.works.length === 0) return null;
  return (
    <section class="printlist" aria-hidden="true">
      <h2>List of works</h2>
      <table>
        <thead>
          <tr><th>Work</th><th>Kind</th><th>Stage</th><th>Built</th><th>Size</th><th>Condition</th></tr>
        </thead>
        <tbody>
          {land.works.map((w) => (
            <tr key={w.id}>
              <th>{called(kind(w.kind).label, w.name)}</th>
              <td>{kind(w.kind).label}</td>
              <td>{stageOf(w)}</td>
              <td>{w.builtOn ? day(w.builtOn) : ""}</td>
              <td>{w.facts.filter((f) => ["Length", "Area", "Height"].includes(f.label)).map((f) => `${f.label} ${f.text}`).join("; ")}</td>
              <td>{conditionOf(w)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function stageOf(w: Item): string {
  const status = statusOf(w);
  return status !== "built" && w.statusOn ? `${statusWords[status]} ${day(w.statusOn)}` : statusWords[status];
}

function conditionOf(w: Item): string {
  const seen = w.plain.filter((t) => t.startsWith("Last inspected"));
  const stands = w.status === "built" || w.status === "failed";
  return [...(seen.length > 0 || !stands ? seen : ["Not visited yet."]), ...w.wrong].join(" ");
}
