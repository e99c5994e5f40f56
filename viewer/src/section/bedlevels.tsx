// The levels of a bed as a table, for who cannot read the drawing.

import { toMillimetre } from "../base/number.ts";
import type { Section } from "./section.ts";

interface BedLevelsProps {
  readonly bed: readonly Section["bed"][number][];
  readonly asBooked?: boolean; // nothing tells which end its chainages count from
}

export function BedLevels({ bed, asBooked }: BedLevelsProps) {
  return (
    <table class="bedlevels">
      <thead>
        <tr>
          <th scope="col">{asBooked ? "Chainage as booked, m" : "Chainage up from the downstream end, m"}</th>
          <th scope="col">Bed, m</th>
        </tr>
      </thead>
      <tbody>
        {bed.map((b) => (
          <tr key={b.chainageM}>
            <td>{b.chainageM}</td>
            <td>{toMillimetre(b.levelM)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
