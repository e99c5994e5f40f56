// Pegging a contour: all pegs at the level of the first.

import { useMemo } from "preact/hooks";
import { keyedIn } from "../../survey/levelbook/keyed.ts";
import { toMillimetre } from "../../base/number.ts";
import { chainagesOf, jumpQuestion } from "../../survey/levelbook/jump.ts";
import { ownNameOf } from "../../base/names.ts";
import { dayOf } from "../../base/words.ts";
import { kindNamed } from "../../base/kinds.ts";
import { kindOf, numberOf, textOf } from "../../base/entry.ts";
import { type Params, useField } from "../context/field.ts";
import { ItemChooser } from "../part/itemchooser.tsx";
import { NearList } from "../part/nearlist.tsx";
import { Choice } from "../../ui/choice.tsx";
import { Frame, Opening } from "../../ui/frame.tsx";
import { Fold, Trouble } from "../../ui/panel.tsx";
import { placed } from "../../sensor/fixfields.ts";
import { newID } from "../../base/uuid.ts";
import { dangers, Mind, SightBack } from "../part/cautions.tsx";
import {
  askContour,
  contourKinds,
  contourWords,
  dueAt,
  lineThrough,
  nextLineName,
  pegFields,
  pegsIn,
  toleranceOf,
} from "../../survey/setout/contour.ts";
import { guide, offQuestion, oldQuestion } from "../../survey/setout/guide.ts";
import { Picked } from "./picked.tsx";
import { PegBox, Reader, Saves } from "./reader.tsx";
import { useAsked } from "../../compute/useasked.ts";
import { useAim, usePosition } from "./useaim.ts";
import { pegRow, usePegging } from "./usepegging.ts";

export function ContourScreen({ params }: { params: Params }) {
  const field = useField();
  const pegging = usePegging(params["book"]!, "contour", {
    reading: "",
    line: "",
    kind: "rip-line",
    at: "0",
    tolerance: "",
    suggested: "at",
  });
  const { book, levels, typed, set, read, direct, sightM, trouble, pegs: saved } = pegging;
  const at = usePosition(saved, typed["reading"] ?? "");
  const { fix } = at;
  const lines = field.features.filter((f) => !f.struck && contourKinds[kindOf(f)] !== undefined);
  const line = lines.find((f) => f.id === typed["line"]);
  const kind = line ? kindOf(line) : (typed["kind"] ?? "rip-line");
  const { pegs, taped, proven } = useMemo(
    () => (book && levels ? pegsIn(typed["line"] ?? "", book.rows, levels) : { pegs: [], taped: true, proven: false }),
    [book?.rows, levels, typed["line"]],
  );
  const toleranceM = keyedIn(typed["tolerance"] ?? "") || toleranceOf(line, kind);
  const targetM = line && numberOf(line, "targetLevelM"); // by a plan
  const aim = useAim(sightM, pegs[0]?.levelM ?? targetM, read, direct);
  const told = guide(aim.offM, toleranceM);
  const begins = pegs.length === 0 && !line; // a new line begins at its first peg, at 0 m: there is nothing to tape
  const asksAt = !begins && pegging.isSuggested("at") && pegging.box === "at";
  const checked = useAsked(field.model, "contour-check", levels ? askContour(pegs, toleranceM, proven) : null).output;
  if (!book) return <Opening title="Contour pegs" words="Opening the book…" trouble={trouble} />;

  const peg = () => {
    if (aim.levelM === undefined) return pegging.take("reading");
    const id = typed["line"] || newID();
    const name = line ? ownNameOf(line) : nextLineName(field.features, kindNamed(kind).label);
    if (
      !pegging.sure("reading", oldQuestion(typed["reading"]!, pegging.keptFrom)) ||
      !pegging.sure("reading", offQuestion(aim.offM, toleranceM, "this contour")) ||
      !(begins || pegging.accepted("at"))
    )
      return;
    const tapedM = keyedIn(typed["at"] ?? "");
    if (!pegging.sure("at", tapedM === undefined ? undefined : jumpQuestion(chainagesOf(book.rows, id, "peg"), tapedM))) return;
    const row = pegRow(pegging, { feature: id, name, spot: "peg" }, tapedM);
    const place = fix ? placed(fix) : {};
    const day = dayOf(new Date());
    const through = lineThrough(line, field.features, place, id);
    const drafts = [
      {
        feature: newID(),
        set: pegFields(`${name}, ${row.point.toLowerCase()}`, id, { levelM: aim.levelM, run: book.id, chainageM: tapedM }, day, place),
      },
      ...(line ? [] : [{ feature: id, set: { kind, name, status: "pegged", peggedOn: day, observedOn: day, drawnThrough: "pegs" } }]),
      ...(line && textOf(line, "status") === "proposed" ? [{ feature: id, set: { status: "pegged", peggedOn: day } }] : []),
      ...(through ? [{ feature: id, set: through }] : []),
    ];
    const nextM = dueAt(pegs, taped, tapedM);
    void pegging.peg(row, drafts, `${row.point} of ${name} saved`, { line: id, at: "" }, nextM === undefined ? {} : { at: String(nextM) });
  };
  return (
    <Frame
      title="Contour pegs"
      under={
        <p class="setup">
          {line ? ownNameOf(line) : `New ${kindNamed(kind).label.toLowerCase()}`},{" "}
          {pegs.length === 0 ? "first peg" : `peg ${pegs.length + 1}`}
        </p>
      }
    >
      {trouble && <Trouble {...trouble} />}
      {pegs.length === 0 && (
        <Picked
          words={
            <>
              <span class="soft">Line</span> {line ? ownNameOf(line) : `new ${kindNamed(kind).label.toLowerCase()}`}
            </>
          }
        >
          {(close) => (
            <>
              <Choice
                label="New line"
                value={typed["line"] ? undefined : kind}
                required
                of={Object.keys(contourKinds).map((k) => ({ value: k, label: `New ${kindNamed(k).label.toLowerCase()}` }))}
                pick={(k) => {
                  if (k) set({ line: "", kind: k });
                  close();
                }}
              />
              {lines.length > 0 && (
                <>
                  <p>
                    <b>Or a line that is recorded</b>
                  </p>
                  <NearList
                    items={lines}
                    label="Lines that are recorded"
                    chosen={line?.id ?? null}
                    pick={(f) => {
                      set({ line: f.id });
                      close();
                    }}
                    at={fix ?? undefined}
                  />
                </>
              )}
            </>
          )}
        </Picked>
      )}
      <Mind of={dangers.slope} />
      <Reader
        saves={
          asksAt ? (
            <p class="saves">
              <b>Peg at {typed["at"]} m</b> takes this distance. If you taped another, key it.
            </p>
          ) : (
            <Saves
              word="Peg"
              what={`peg ${pegs.length + 1}`}
              fix={fix}
              more={[
                aim.levelM !== undefined && `level ${toMillimetre(aim.levelM)}`,
                keyedIn(typed["at"] ?? "") !== undefined &&
                  (begins || !pegging.isSuggested("at")) &&
                  `at ${keyedIn(typed["at"] ?? "")} m ${pegging.isSuggested("at") ? "of the line" : "taped"}`,
                line && textOf(line, "status") !== "proposed"
                  ? `of ${ownNameOf(line)}`
                  : `and ${line ? ownNameOf(line) : nextLineName(field.features, kindNamed(kind).label)} as pegged today`,
              ]}
            />
          )
        }
        pegging={pegging}
        at={at}
        aim={aim}
        guide={told}
        enter={peg}
        enterWord="Peg"
      >
        <PegBox
          pegging={pegging}
          name="at"
          label="Taped along the line"
          note={begins && pegging.isSuggested("at") ? "where the line begins" : undefined}
        />
      </Reader>
      {pegs.length === 0 && (
        <p>
          {targetM === undefined
            ? "Read the staff where the line begins, and peg it. Every other peg goes where the staff stands at the same level."
            : `The plan puts this line at ${toMillimetre(targetM)} m on the datum of its level run: peg each place where the staff stands at that level.`}
        </p>
      )}
      <p class="soft note held">
        {told.state === "up"
          ? "Up is uphill: the staff stands too low."
          : told.state === "down"
            ? "Down is downhill: the staff stands too high."
            : ""}
      </p>
      {pegs.length > 1 && <p class="checked">{checked && contourWords(checked, toleranceM)}</p>}
      {!taped && <p class="soft">Without taped distances the grade from peg to peg cannot be calculated.</p>}
      <Fold title="Tolerance, another line">
        <Choice
          label="A peg may be off by"
          required
          of={["0.02", "0.05", "0.1"].map((t) => ({ value: t, label: `${t} m` }))}
          value={String(toleranceM)}
          pick={(t) => t && set({ tolerance: t })}
          hint="common practice, no source"
        />
        {pegs.length > 0 && (
          <ItemChooser
            label="Continue with"
            items={lines}
            value={line?.id}
            pick={(id) => set({ line: id, at: "0", suggested: "at" })}
            none="A new line"
            at={fix ?? undefined}
          />
        )}
      </Fold>
      <SightBack />
    </Frame>
  );
}
