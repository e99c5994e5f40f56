// The cross-sections of an item on its page: one of its own, or those of a gully.

import type { AcrossFill, CrossSection, Sheet } from "../compute/sheets.ts";
import { number, toMillimetre, unbroken } from "../base/number.ts";
import { day as dayInWords } from "../base/words.ts";
import { AcrossProfile } from "../section/acrossprofile.tsx";
import { canDrawAcross, drawAcross, type Across } from "../section/across.ts";
import { Caution, Fold } from "../ui/panel.tsx";
import { usePaper } from "./fitted.tsx";

interface AcrossSectionProps {
  readonly of: readonly CrossSection[];
  readonly cautions: Sheet["cautions"];
}

export function AcrossSections({ of, cautions }: AcrossSectionProps) {
  return (
    <>
      {of.map((c, i) => (
        <One key={i} section={c} cautions={cautions} alone={of.length === 1 && c.feature !== undefined} />
      ))}
    </>
  );
}

/** What a cross-section is called: by its name, else by where it lies. */
const calledOf = ({ name, bookedM }: CrossSection): string =>
  name || (bookedM === undefined ? "unnamed" : `at chainage ${number(bookedM, 1)} m`);

function One({ section: c, cautions, alone }: { section: CrossSection; cautions: Sheet["cautions"]; alone: boolean }) {
  const notches = c.notches ?? [];
  const drawn: Across = {
    points: c.points,
    levels: notches.map((n) => ({ name: n.name || "dam", levelM: n.levelM, planned: n.planned === true })),
  };
  const { box, paper } = usePaper();
  const drawing = canDrawAcross(drawn) && paper.widthPx >= 160 ? drawAcross(drawn, paper) : null;
  const day = c.observedOn ? ` of ${dayInWords(c.observedOn)}` : "";
  return (
    <section class="section" aria-label={`Cross-section ${calledOf(c)}`}>
      <h2>{alone ? "Cross-section" : `Cross-section ${calledOf(c)}`}</h2>
      <p class="soft">{`Levelled in ${c.runName || "a level run, unnamed"}${day}. Seen looking downstream.`}</p>
      <div ref={box} class="paper">
        {drawing && <AcrossProfile drawing={drawing} name={calledOf(c)} proven={c.proven} />}
      </div>
      {drawing && (
        <p class="soft">
          {drawing.exaggeration === 1
            ? "Heights and offsets are drawn to one scale."
            : `Heights are drawn ${drawing.exaggeration} times larger than offsets.`}
        </p>
      )}
      {!c.proven && <Caution>Drawn dashed: these levels are not yet checked by a closed level run.</Caution>}
      {c.brink && <p>{unbroken(`Up to the lower brink it is ${filled(c.brink)}.`)}</p>}
      {notches.map((n) => (
        <p key={n.dam}>{unbroken(`Up to the crest of ${n.name || "a dam"}${n.planned ? ", as planned," : ""} it is ${filled(n)}.`)}</p>
      ))}
      {c.notes
        .filter((note) => !cautions.some((caution) => caution.text === note))
        .map((note) => (
          <p key={note} class="soft">
            {note}
          </p>
        ))}
      <Fold title={`Levels across: ${c.points.length}`}>
        <table class="bedlevels">
          <thead>
            <tr>
              <th scope="col">Offset, left −, m</th>
              <th scope="col">Level, m</th>
            </tr>
          </thead>
          <tbody>
            {c.points.map((p, i) => (
              <tr key={i}>
                <td>{p.offsetM < 0 ? `−${-p.offsetM}` : p.offsetM}</td>
                <td>{toMillimetre(p.levelM)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Fold>
    </section>
  );
}

/** "1.50 m deep and 6.5 m wide, and 6.4 m² lie below". */
const filled = (f: AcrossFill): string =>
  `${number(f.depthM, 2)} m deep, ${number(f.widthM, 1)} m wide and ${number(f.areaM2, 1)} m² in area`;
