// The strip at the foot of every screen: what is on this phone, what the server does not
// have yet, how good the position is; above it what was done last, with a way to undo it.

import { useEffect, useState } from "preact/hooks";
import { Button } from "../kit/button.tsx";
import { loudest } from "./loud.ts";
import { useApp } from "./shell.tsx";
import { accuracyWords } from "./words.ts";

export function Strip() {
  const { state } = useApp();
  const { tally, fix, fixTrouble } = state;
  const loud = loudest(state, new Date());
  return (
    <footer class="strip">
      <SaidLine />
      {loud && (
        <div class="loud" role="alert">
          <p>{loud.words}</p>
          <a href={loud.route}>{loud.doing}</a>
        </div>
      )}
      <a href="#/status" class="numbers">
        <span class="hidden">How it stands: </span>
        <span><b>{tally?.entries ?? "…"}</b> on phone<i class="hidden">,</i></span>
        <span class={tally?.unsent ? "waiting" : undefined}><b>{tally?.unsent ?? "…"}</b> not sent<i class="hidden">,</i></span>
        <span><b>{fixTrouble ? "no" : fix ? accuracyWords(fix.accuracyM) : "…"}</b> GPS</span>
      </a>
    </footer>
  );
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
