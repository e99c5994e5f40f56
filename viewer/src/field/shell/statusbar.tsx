// The strip at the foot of every screen: what is on this phone, what the server does not
// have yet, how good the position is; above it what was done last, with a way to undo it, or
// else who records on which property.

import { useEffect, useRef, useState } from "preact/hooks";
import { Button } from "../../ui/button.tsx";
import { cameraPath, Icon } from "../../ui/icon.tsx";
import { nothingWaits } from "../../sync/state.ts";
import { calledProperty } from "../../storage/chosenproperty.ts";
import { loudest } from "./alert.ts";
import { useApp } from "../context/app.ts";
import { accuracyWords, grouped } from "../../base/words.ts";

export function StatusBar() {
  const { state } = useApp();
  const { counts, fix, fixTrouble } = state;
  const alert = loudest(state, new Date());
  return (
    <footer class="strip">
      <SaidLine />
      {alert && (
        <div class="loud" role="alert">
          <p>{alert.words}</p>
          <a href={alert.route}>{alert.doing}</a>
        </div>
      )}
      <a href="#/status" class="numbers">
        <span class="hidden">Sync status: </span>
        <span>
          <b>{counts ? grouped(counts.entries) : "…"}</b> {counts?.entries === 1 ? "entry" : "entries"} on phone<i class="hidden">,</i>
          <i class="widest" aria-hidden="true">
            entries on phone
          </i>
        </span>
        <span class={nothingWaits(counts) || !counts ? undefined : "waiting"}>
          <b>
            {counts?.unsent ?? "…"}
            {counts && counts.photosUnsent > 0 && <Photos n={counts.photosUnsent} />}
          </b>{" "}
          not sent yet<i class="hidden">,</i>
        </span>
        <span>
          <b>{fixTrouble ? "no" : fix ? accuracyWords(fix.accuracyM) : "…"}</b> GPS
        </span>
      </a>
    </footer>
  );
}

/** Photos that wait too: their number and a camera. */
function Photos({ n }: { n: number }) {
  return (
    <span class="also">
      {" "}
      + {n}
      <Icon path={cameraPath} />
      <i class="hidden">{n === 1 ? " photo" : " photos"}</i>
    </span>
  );
}

const shownMS = 30_000;

/**
 * What was done last, or else who records on which property. The place of the words is there
 * before they come and stays when they go: nothing above it makes room under a finger.
 */
function SaidLine() {
  const { state, undo } = useApp();
  const { said, self, property, address } = state;
  const line = useRef<HTMLDivElement>(null);
  const [gone, setGone] = useState({ n: 0, address: "", highPx: 0 }); // the words that were shown long enough, and what room they had
  useEffect(() => {
    if (!said.words) return;
    const timer = setTimeout(() => setGone({ n: said.n, address: location.hash || "#/", highPx: line.current!.offsetHeight }), shownMS);
    return () => clearTimeout(timer);
  }, [said.n]);
  const shown = said.words !== "" && gone.n !== said.n;
  const held = !shown && gone.n === said.n && gone.address === address; // long words leave their room to the screen that they were on
  return (
    <div ref={line} class={shown ? "said news" : "said"} style={{ minHeight: held ? `${gone.highPx}px` : "" }}>
      <p role="status" id="said">
        {shown ? <span key={said.n}>{said.words}</span> : ""}
      </p>
      {shown && said.undo && said.undo.length > 0 && (
        <Button rank="plain" press={() => void undo(said.undo!)}>
          Undo
        </Button>
      )}
      {!shown && <p class="soft">{[self?.author, property && calledProperty(property)].filter(Boolean).join(", ")}</p>}
    </div>
  );
}
