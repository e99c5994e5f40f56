// The part of every pegging screen that is read at arm's length: what the staff should
// show, which way to go, what was read, and what a peg saves, above the keys that save it.

import type { ComponentChildren } from "preact";
import { NumberBox } from "../../ui/numberbox.tsx";
import { NumberPad } from "../../ui/numberpad.tsx";
import { Question } from "../../ui/question.tsx";
import { toMillimetre } from "../../base/number.ts";
import { accuracyWords, count } from "../../base/words.ts";
import { Button } from "../../ui/button.tsx";
import { type Guide, settlingQuestion, type Way } from "../../survey/setout/guide.ts";
import { toBook } from "../../survey/setout/pegway.ts";
import { useHeading } from "../../sensor/hooks.ts";
import { BearingArrow } from "../part/bearingarrow.tsx";
import type { Aim, Standing } from "./useaim.ts";
import { typedText, type Pegging } from "./usepegging.ts";
import type { Fix } from "../../sensor/fix.ts";

interface ReaderProps {
  readonly pegging: Pegging;
  readonly aim: Aim;
  readonly guide: Guide;
  readonly at: Standing; // where a peg would be marked
  readonly way?: Way | undefined; // by position, never by its height
  readonly first?: ComponentChildren; // what must be done before there is a way to go: it stands in the guide's place
  readonly children?: ComponentChildren; // more boxes that the pad types in
  readonly enter: () => void;
  readonly enterWord: string;
  readonly saves: ComponentChildren; // what a peg saves: in sight with the key that saves it
}

export function Reader({ pegging, aim, guide, at, way, first, children, enter, enterWord, saves }: ReaderProps) {
  const { typed, set, box, take, barred, direct, restore, keptFrom, book } = pegging;
  const { fix } = at;
  const doubt = pegging.doubt?.words === settlingQuestion.words && !at.settling ? null : pegging.doubt; // it has settled meanwhile
  const enterSettled = () => {
    if (!at.settling || pegging.read === undefined || pegging.sure("reading", settlingQuestion)) enter();
  };
  const state = aim.wrong ? "none" : guide.state;
  const undo = restore && (
    <Button wide press={restore}>
      Strike out the last peg
    </Button>
  );
  if (barred) {
    return (
      <>
        <div class="caution">
          <p>{barred}</p>
          {pegging.goOn && (
            <Button wide press={pegging.goOn.press}>
              {pegging.goOn.words}
            </Button>
          )}
          <a class="button wide" href={toBook(book!.id, pegging.along)}>
            Open the level book
          </a>
        </div>
        {undo}
      </>
    );
  }
  const proposed = pegging.isSuggested(box) && box !== "reading" ? ` at ${typed[box]} m` : "";
  return (
    <>
      <NumberPad press={pegging.press} enter={enterSettled} enterWord={enterWord + proposed} sign={direct}>
        {way && <WayThere way={way} />}
        {first && !aim.wrong ? (
          first
        ) : (
          <div class={`guide ${aim.wrong ? "none wrong" : state}`} data-guide={state}>
            {aim.wantedM !== undefined && (
              <p class="wanted">
                Staff <b>{toMillimetre(aim.wantedM)}</b>
              </p>
            )}
            <p class="go" role="status">
              <GuideSign state={state} />
              <span>
                {aim.wrong ||
                  guide.words ||
                  (aim.levelM === undefined ? "Read the staff, and key it in." : `Level here ${toMillimetre(aim.levelM)}`)}
              </span>
            </p>
          </div>
        )}
        <div class="boxes">
          <NumberBox
            large
            label={direct ? "Higher by" : "You read"}
            value={typed["reading"] ?? ""}
            suggested={pegging.isSuggested("reading")}
            note={keptFrom ? `kept from ${keptFrom}` : undefined}
            active={box === "reading"}
            take={() => take("reading")}
            change={(text) => set(typedText("reading", text))}
          />
          {children}
        </div>
        {doubt ? (
          <Question
            words={doubt.words}
            {...(doubt.ifNot === undefined ? {} : { ifNot: doubt.ifNot })}
            yes={doubt.yes}
            confirm={() => {
              doubt.confirm();
              enterSettled();
            }}
          />
        ) : (
          saves
        )}
      </NumberPad>
      <p class="level">
        {aim.levelM !== undefined && (
          <>
            <span>Level here</span> <b>{toMillimetre(aim.levelM)}</b>
          </>
        )}
        {pegging.sightM !== undefined && <span class="soft"> Line of sight {toMillimetre(pegging.sightM)}</span>}
      </p>
      <p class="soft note">
        {fix
          ? `Position ${accuracyWords(fix.accuracyM)}, mean of ${count(fix.count, "fix", "fixes")}${at.left ? " where the staff was read" : ""}. Its height is never a level.${at.settling ? " GPS has jumped: the position is still settling." : ""}`
          : "No position yet: a peg is saved without one."}
      </p>
      {undo}
    </>
  );
}

/** Where the peg is due: an arrow with its distance, and the same in words. */
function WayThere({ way: { words, arrow } }: { way: Way }) {
  const { headingDeg, ask } = useHeading();
  const drawn = arrow && (
    <span class="wayarrow" aria-hidden="true">
      <BearingArrow bearingDeg={arrow.bearingDeg} headingDeg={headingDeg} />
      <b>{arrow.distance}</b>
    </span>
  );
  const turns = arrow?.bearingDeg === undefined ? "" : headingDeg === undefined ? " North is up." : " The arrow turns with the phone.";
  return (
    <div class="way">
      {arrow && ask ? (
        <button type="button" class="b-plain" aria-label={`${arrow.distance}: turn the arrow with the phone`} onClick={ask}>
          {drawn}
        </button>
      ) : (
        drawn
      )}
      <p>
        {words}
        {turns && <span class="hidden">{turns}</span>}
      </p>
    </div>
  );
}

/** A number box of the pegging's own. */
export function PegBox({ pegging, name, label, note }: { pegging: Pegging; name: string; label: string; note?: string | undefined }) {
  return (
    <NumberBox
      label={label}
      note={note}
      value={pegging.typed[name] ?? ""}
      suggested={pegging.isSuggested(name)}
      active={pegging.box === name}
      take={() => pegging.take(name)}
      change={(text) => pegging.set(typedText(name, text))}
    />
  );
}

/** Up, down and hold are told by shape as well as by word. */
function GuideSign({ state }: { state: Guide["state"] }) {
  const path = { up: "M12 3l9 10h-6v8H9v-8H3z", down: "M12 21l9-10h-6V3H9v8H3z", hold: "M3 7h18v4H3zM3 14h18v4H3z", none: "" }[state];
  return (
    <svg viewBox="0 0 24 24" aria-hidden="true">
      <path d={path} />
    </svg>
  );
}

interface SavesProps {
  readonly word: string; // on the key
  readonly what: string; // "Dam 4 as pegged today"
  readonly more?: readonly (string | undefined | false)[];
  readonly fix?: Fix | null; // where the peg would be marked; undefined when none is
}

export function Saves({ word, what, more = [], fix }: SavesProps) {
  const place = fix === undefined ? "" : fix ? `GPS ${accuracyWords(fix.accuracyM)}` : "no position";
  return (
    <p class="saves">
      <b>{word}</b> saves {[what, ...more, place].filter(Boolean).join(", ")}.
    </p>
  );
}
