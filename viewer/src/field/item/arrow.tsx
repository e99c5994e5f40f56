// An arrow to an item, its distance and its bearing, as the phone is carried and turned.

import { accuracyWords, clock, compass, distance } from "../../base/words.ts";
import { useApp } from "../context/app.ts";
import { placeOf, type Feature } from "../../base/entry.ts";
import { lacksPlace } from "../../base/nearest.ts";
import { SetPosition } from "../part/ofitem.tsx";
import { Button } from "../../ui/button.tsx";
import { awayOf, isHere } from "../../base/away.ts";
import { useHeading } from "../../sensor/hooks.ts";
import { BearingArrow } from "../part/bearingarrow.tsx";

export function Arrow({ feature }: { feature: Feature }) {
  const { headingDeg, offered, ask } = useHeading();
  if (!placeOf(feature)) return lacksPlace(feature) ? <Unplaced feature={feature} /> : <p class="soft">No position recorded.</p>;
  return (
    <>
      <Toward feature={feature} headingDeg={headingDeg} />
      {offered && (
        <Button wide disabled={!ask} press={() => ask?.()}>
          {headingDeg === undefined ? "Turn with the phone" : "It turns with the phone"}
        </Button>
      )}
    </>
  );
}

/** Nobody finds it again: the step that gives it a position stands beside that. */
function Unplaced({ feature }: { feature: Feature }) {
  return (
    <p class="caution">
      No position recorded.
      <SetPosition of={feature} wide />
    </p>
  );
}

function Toward({ feature, headingDeg }: { feature: Feature; headingDeg: number | undefined }) {
  const { fix, fixTrouble } = useApp().state;
  if (!fix) return <p class="toward soft">{fixTrouble || "Waiting for GPS…"}</p>;
  const way = awayOf(feature, fix);
  if (!way) return <p class="toward soft">No position recorded.</p>;
  const here = isHere(way, fix.accuracyM);
  return (
    <div class="toward">
      <BearingArrow bearingDeg={here ? undefined : way.bearingDeg} headingDeg={headingDeg} />
      <p>
        <b class="big">{here ? "Here" : distance(way.distanceM)}</b>{" "}
        {!here && (
          <span>
            {compass(way.bearingDeg)}, {Math.round(way.bearingDeg) % 360}°
          </span>
        )}
        <br />
        <span class="soft">
          {here
            ? "as near as GPS can tell"
            : headingDeg === undefined
              ? "the arrow has north at the top"
              : "the arrow turns with the phone"}
          ; {fixTrouble ? `from where you were at ${clock(fix.at, new Date())}` : `your GPS ${accuracyWords(fix.accuracyM)}`}
        </span>
      </p>
    </div>
  );
}
