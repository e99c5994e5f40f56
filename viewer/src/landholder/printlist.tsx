// The list as it is printed: every work with its dates, then gully heads, scalds and hazards.

import type { Item, Kind, Land } from "./land.ts";
import { usePrinting } from "../ui/hooks.ts";
import { called, day, number } from "./words.ts";
import { statusOf, statusWords } from "../base/item.ts";

const alwaysThere = 500; // rows; of more they are made for the printer
const mostPrinted = 5000;

const sizes = ["Length", "Area", "Height", "Height of the drop"];

export function PrintList({ land, kind }: { land: Land; kind: (name: string) => Kind }) {
  const printing = usePrinting();
  const others = land.others.filter((o) => o.state || o.seen || o.plain.length > 0 || o.facts.length > 0);
  if (land.works.length + others.length === 0) return null;
  const all = [...land.works, ...others];
  const rows = all.slice(0, all.length <= alwaysThere || printing ? mostPrinted : 0);
  return (
    <section class="printlist" aria-hidden="true">
      <h2>{others.length > 0 ? "List of works, gully heads and hazards" : "List of works"}</h2>
      <table>
        <thead>
          <tr>
            <th>Name</th>
            <th>Kind</th>
            <th>Stage</th>
            <th>Built</th>
            <th>Size</th>
            <th>Condition</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((i) => (
            <Row key={i.id} item={i} kind={kind(i.kind)} />
          ))}
        </tbody>
      </table>
      {all.length > mostPrinted && (
        <p>
          The first {number(mostPrinted, 0)} of {number(all.length, 0)}: the files for map apps have all of them.
        </p>
      )}
    </section>
  );
}

function Row({ item, kind }: { item: Item; kind: Kind }) {
  const condition = kind.work ? [...item.wrong, item.seen] : [...item.wrong, ...item.plain, item.seen];
  return (
    <tr>
      <th>{called(kind.label, item.name)}</th>
      <td>{kind.label}</td>
      <td>{kind.work ? stageOf(item) : ""}</td>
      <td>{item.builtOn ? day(item.builtOn) : ""}</td>
      <td>
        {item.facts
          .filter((f) => sizes.includes(f.label))
          .map((f) => `${f.label} ${f.text}`)
          .join("; ")}
      </td>
      <td>{condition.filter(Boolean).join(" ")}</td>
    </tr>
  );
}

function stageOf(w: Item): string {
  const status = statusOf(w);
  return status !== "built" && status !== "failed" && w.statusOn ? `${statusWords[status]} ${day(w.statusOn)}` : statusWords[status];
}
