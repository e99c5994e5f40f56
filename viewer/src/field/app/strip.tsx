// The strip at the foot of every screen: what is on this phone, what the server does not
// have yet, how good the position is; above it what was done last, with a way to undo it.

import { useEffect, useState } from "preact/hooks";
import { Button } from "../kit/button.tsx";
import { useApp } from "./shell.tsx";
import { daysWaiting } from "./state.ts";
import { accuracyWords } from "./words.ts";

export function Strip() {
  const { state } = useApp();
  const { tally, fix, fixTrouble } = state;
  const days = daysWaiting(tally, new Date());
  return (
    <footer class="strip">
      <SaidLine />
      {state.link?.state === "refused" && <p class="loud">The server refuses this phone. What is recorded stays on it: open the status.</p>}
      {days >= 3 && <p class="loud">Nothing has been sent for {days} days. Send, or save to a file.</p>}
      <a href="#/status" class="numbers" aria-label={stripWords(tally?.entries, tally?.unsent, fix?.accuracyM)}>
        <span><b>{tally?.entries ?? "…"}</b> on phone</span>
        <span class={tally?.unsent ? "waiting" : undefined}><b>{tally?.unsent ?? "…"}</b> not sent</span>
        <span>{fix ? <b>{accuracyWords(fix.accuracyM)}</b> : <b>{fixTrouble ? "no" : "…"}</b>} GPS</span>
      </a>
    </footer>
  );
}

function stripWords(entries: number | undefined, unsent: number | undefined, accuracyM: number | undefined): string {
  const where = accuracyM === undefined ? "no position yet" : `position good to ${accuracyWords(accuracyM)}`;
  return `Status: ${entries ?? "unknown"} entries on this phone, ${unsent ?? "unknown"} not yet on the server, ${where}`;
}

const shownMS = 30_000;

function SaidLine() {
  const { state, undo } = useApp();
  const { said } = state;
  const [gone, setGone] = useState(0); // the number of the words that were shown long enough
  useEffect(() => {
    if (!said.words) return;
    const timer = setTimeout(() => setGone(said.n), shownMS);
    return () => clearTimeout(timer);
  }, [said.n]);
  const shown = said.words !== "" && gone !== said.n;
  return (
    <div class={shown ? "said" : "said empty"}>
      <p role="status" id="said">{shown ? <span key={said.n}>{said.words}</span> : ""}</p>
      {shown && said.undo && said.undo.length > 0 && <Button rank="plain" press={() => void undo()}>Undo</Button>}
    </div>
  );
}
