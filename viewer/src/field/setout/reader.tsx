// The part of every pegging screen that is read at arm's length: what the staff should
// show, what was read, and which way to go.

import type { ComponentChildren } from "preact";
import { NumberBox, onEnter } from "../book/box.tsx";
import { NumberPad } from "../book/pad.tsx";
import { Question } from "../book/question.tsx";
import { metres } from "../book/reading.ts";
import { accuracyWords, count } from "../app/words.ts";
import type { Fix } from "../field.ts";
import { Button } from "../kit/button.tsx";
import type { Guide } from "./guide.ts";
import type { Aim } from "./useaim.ts";
import { typedText, type Pegging } from "./usepegging.ts";

interface ReaderProps {
  readonly pegging: Pegging;
  readonly aim: Aim;
  readonly guide: Guide;
  readonly untargeted?: boolean; // no reading is ever wanted here: the guide says all
  readonly fix: Fix | null; // where a peg would be marked
  readonly way?: string | undefined; // by position, never by its height
  readonly children?: ComponentChildren; // more boxes that the pad types in
  readonly enter: () => void;
  readonly enterWord: string;
  readonly saves: ComponentChildren; // what a peg saves: in sight with the key that saves it
}

export function Reader({ pegging, aim, guide, untargeted, fix, way, children, enter, enterWord, saves }: ReaderProps) {
  const { typed, set, box, take, barred, direct, takeBack } = pegging;
  const read = (
    <NumberBox large calm label={direct ? "Higher by" : "You read"} value={typed["reading"] ?? ""} suggested={pegging.isSuggested("reading")} active={box === "reading"} take={() => take("reading")} change={(text) => set(typedText("reading", text))} />
  );
  const boxes = <div class="boxes">{untargeted && read}{children}</div>;
  return (
    <>
      <form class="reader" onSubmit={(e) => e.preventDefault()} onKeyDown={(e) => onEnter(e, enter)}>
        {barred && <p class="caution">{barred}{pegging.goOn && <Button wide press={pegging.goOn.press}>{pegging.goOn.words}</Button>}</p>}
        {!untargeted && (
          <div class="staffline">
            {aim.wantedM !== undefined && <p class="wanted">Staff <b>{metres(aim.wantedM)}</b></p>}
            {read}
          </div>
        )}
        {untargeted && boxes}
        <p class={`guide ${aim.wrong ? "none wrong" : guide.state}`} role="status" data-guide={aim.wrong ? "none" : guide.state}>
          <GuideSign state={aim.wrong ? "none" : guide.state} />
          <span>{aim.wrong || guide.words || (untargeted ? " " : aim.levelM === undefined ? "Read the staff, and key it in." : `Level here ${metres(aim.levelM)}`)}</span>
        </p>
        {way && <p class="way">{way}</p>}
        {!untargeted && boxes}
        {pegging.doubt && <Question words={pegging.doubt.words} yes={pegging.doubt.yes} confirm={() => { pegging.doubt!.confirm(); enter(); }} />}
      </form>
      <NumberPad press={pegging.press} enter={enter} enterWord={enterWord} sign={direct}>{saves}</NumberPad>
      <p class="level">{aim.levelM !== undefined && <><span>Level here</span> <b>{metres(aim.levelM)}</b></>}{pegging.sightM !== undefined && <span class="soft"> Line of sight {metres(pegging.sightM)}</span>}</p>
      <p class="soft note">{fix ? `Position ${accuracyWords(fix.accuracyM)}, mean of ${count(fix.count, "fix", "fixes")}. Its height is never a level.` : "No position yet: a peg is saved without one."}</p>
      {takeBack && <Button wide press={takeBack}>Strike out the last peg</Button>}
    </>
  );
}

/** A number box of the pegging's own. */
export function PegBox({ pegging, name, label, unit, note }: { pegging: Pegging; name: string; label: string; unit?: string; note?: string }) {
  return (
    <NumberBox calm label={label} {...(unit ? { unit } : {})} note={note} value={pegging.typed[name] ?? ""} suggested={pegging.isSuggested(name)} active={pegging.box === name} take={() => pegging.take(name)} change={(text) => pegging.set(typedText(name, text))} />
  );
}

/** Up, down and hold are told by shape as well as by word. */
function GuideSign({ state }: { state: Guide["state"] }) {
  const path = { up: "M12 3l9 10h-6v8H9v-8H3z", down: "M12 21l9-10h-6V3H9v8H3z", hold: "M3 7h18v4H3zM3 14h18v4H3z", none: "" }[state];
  return <svg viewBox="0 0 24 24" aria-hidden="true"><path d={path} /></svg>;
}
