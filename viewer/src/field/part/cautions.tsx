// What to mind where people peg works: in a line above what is read, so that it is seen
// before the first peg; a press of it opens it in full.

import { Caution } from "../../ui/panel.tsx";

interface Danger {
  readonly what: string;
  readonly mind: string;
}

const gully: readonly Danger[] = [
  {
    what: "Walls",
    mind: "stay off and out from under undercut walls, and back from cracks along the rim: such walls fall without warning.",
  },
  { what: "Services", mind: "pipes and cables may lie below. Have them located before anyone digs or drives a picket." },
  { what: "Heritage", mind: "sites and finds are protected by law. Ask before ground is broken, and stop where something comes to light." },
  { what: "Permits", mind: "works in a watercourse may need one. Ask before anyone digs." },
];

const slope: readonly Danger[] = [
  { what: "Walls", mind: "keep machines and people back from gully rims, undercut walls and cracked ground." },
  { what: "Services", mind: "a tine goes deeper than many pipes and cables. Have them located before the machine comes." },
  {
    what: "Heritage",
    mind: "sites, finds and marked trees are protected by law. Ask before ground is broken, and stop where something comes to light.",
  },
  { what: "Permits", mind: "clearing, pushing up timber and earthworks may need one. Ask before the machine comes." },
];

const track: readonly Danger[] = [
  {
    what: "Water",
    mind: "let it out where it does no harm: never into a gully head, onto a lower limb of the track, or at a neighbour's fence.",
  },
  {
    what: "Traffic",
    mind: "a whoa-boy can throw a vehicle or a rider. Build it long and smooth, mark it, and tell those who use the track.",
  },
  ...slope,
];

/** Which dangers belong to what is pegged. */
export const dangers = { gully, slope, track } as const;

/** In a line, for a glance; in full when it is pressed, and then the pad makes room. */
export function Mind({ of }: { of: readonly Danger[] }) {
  return (
    <details class="fold mind">
      <summary>
        <span>
          <b>Danger:</b> {of.map((d) => d.what.toLowerCase()).join(", ")}
        </span>
      </summary>
      <Cautions of={of} />
    </details>
  );
}

/** In full. */
export function Cautions({ of }: { of: readonly Danger[] }) {
  return (
    <section class="caution dangers" aria-label="Dangers on the ground">
      <ul>
        {of.map((d) => (
          <li key={d.what}>
            <b>{d.what}:</b> {d.mind}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** What no figure here can notice. */
export function SightBack() {
  return <Caution>Sight back on the benchmark before you leave the set-up: nothing here notices a level that was knocked.</Caution>;
}
