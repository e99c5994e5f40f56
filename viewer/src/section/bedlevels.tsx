// The levels of a bed as a table, for who cannot read the drawing.

import { toMillimetre } from "../base/number.ts";
import type { Section } from "./section.ts";

export function BedLevels({ bed }: { bed: readonly Section["bed"][number][] }) {
  return (
    <table class="bedlevels">
      <thead>
        <tr>
          <th scope="col">Chainage up from the downstream end, m</th>
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
