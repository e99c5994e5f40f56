// The row being written: which sight, what the staff stands on, what was read.

import { countsFrom } from "../../survey/levelbook/chainage.ts";
import { useSection } from "../../item/usesheet.ts";
import { Button, Row as Buttons } from "../../ui/button.tsx";
import { Fold } from "../../ui/panel.tsx";
import { TextInput } from "../../ui/input.tsx";
import { useField } from "../context/field.ts";
import { kindOf } from "../../base/entry.ts";
import { besideKinds } from "../../survey/form/form.ts";
import { newID } from "../../base/uuid.ts";
import { asRead, type Book, type Box, dueCells, readsDirect } from "../../survey/levelbook/book.ts";
import { levelOf, type Levels, sightOf, stepWords } from "../../survey/levelbook/levels.ts";
import { knownPoints } from "../../survey/levelbook/known.ts";
import { NumberBox } from "../../ui/numberbox.tsx";
import { cellsOf } from "./line.tsx";
import { correctionCells, readBefore } from "../../survey/levelbook/correct.ts";
import { NumberPad } from "../../ui/numberpad.tsx";
import { keyedIn } from "../../survey/levelbook/keyed.ts";
import { pointOf, pointWords } from "../../survey/levelbook/point.ts";
import { toMillimetre } from "../../base/number.ts";
import { beginsAt, type Cell, cellWords, live, mostOffsetM, type Row, sideOf, wantsChainage } from "../../survey/levelbook/row.ts";
import { StandChooser } from "./staffpoint.tsx";
import { chainageQuestion, isProposed, type Act } from "../../survey/levelbook/write.ts";
import { LastRows } from "./lastrows.tsx";
import { Question } from "../../ui/question.tsx";

interface SightProps {
  readonly book: Book;
  readonly act: (act: Act) => void;
  readonly levels: Levels | null;
}

/** Which sight comes next, on what, and the rows before it. */
export function Sight({ book, act, levels }: SightProps) {
  const { pad, rows } = book;
  const point = pointOf(book);
  const corrected = pad.correction ? rows[pad.at]! : null;
  return (
    <div class="sight">
      <p class="next">
        {corrected ? (
          <CorrectionWords book={book} row={corrected} />
        ) : isFirst(book) ? (
          "First a backsight, on a point of known level; assume 100 if none is known."
        ) : hasEnded(book) ? (
          `Move the level, then sight back on ${point}. Or end here.`
        ) : pad.at === rows.length ? (
          ""
        ) : (
          `Row ${pad.at + 1} is a foresight now: give the backsight on ${point} that followed it.`
        )}
      </p>
      {!corrected && <Where book={book} act={act} />}
      {hasEnded(book) && <Ending book={book} act={act} />}
      <LastRows book={book} levels={levels} />
    </div>
  );
}

const isFirst = ({ pad, rows }: Book): boolean => beginsAt(rows, pad.at);

/** After its last foresight a run waits for a backsight, or ends. */
const hasEnded = ({ pad, rows }: Book): boolean => pad.at !== rows.length && !pad.correction && !live(rows.slice(pad.at + 1)).length;

/** A chainage that can hardly be meant is asked about before it is booked. */
function Doubt({ book, act }: { book: Book; act: (act: Act) => void }) {
  const { doubted, texts } = book.pad;
  const question = doubted === texts.chainage ? chainageQuestion(book) : undefined;
  return question ? (
    <Question words={question} yes={`It is ${texts.chainage} m: book it`} confirm={() => act({ do: "book", sure: true })} />
  ) : null;
}

/** Which sight it is, and what the staff stands on. */
function Where({ book, act }: Pick<SightProps, "book" | "act">) {
  const { pad, rows } = book;
  const isNew = pad.at === rows.length;
  const sights = pad.correction ? correctionCells(rows, pad.at) : dueCells(rows);
  return (
    <>
      {sights.length > 1 && (
        <Buttons label="Which sight">
          {sights.map((cell) => (
            <Button key={cell} pressed={pad.cell === cell} press={() => act({ do: "sight", cell })}>
              {sightWords[cell]}
            </Button>
          ))}
        </Buttons>
      )}
      {(isNew || pad.correction) && (
        <StandChooser
          stand={pad.stand}
          rows={rows}
          closing={pad.cell === "fs" && isNew ? knownPoints(rows).filter((k) => k.feature === undefined) : []}
          point={pad.point}
          pick={(stand, { point, levelM } = { levelM: undefined }) => {
            act({ do: "stand", stand });
            if (point) act({ do: "point", point });
            if (levelM !== undefined && pad.cell !== "is" && !pad.correction) act({ do: "suggest", box: "known", text: String(levelM) });
            act({ do: "box", box: "reading" });
          }}
        />
      )}
    </>
  );
}

/** What the line says, crossed out, while it is written again. */
function CorrectionWords({ book, row }: { book: Book; row: Row }) {
  return (
    <>
      Row {book.pad.at + 1}: <s>{cellsOf(row, book)}</s> is struck out when you book this.
    </>
  );
}

const sightWords: { readonly [cell in Cell]: string } = { bs: "Backsight", is: "Intermediate", fs: "Foresight" };

/** What is seldom wanted of a row. */
export function SightMore({ book, act }: Pick<SightProps, "book" | "act">) {
  const { pad } = book;
  const point = pointOf(book);
  const first = isFirst(book);
  const seldom = (
    <Fold title="Name, note, distance, overhead point">
      <TextInput
        label="Name of the point"
        value={pad.point}
        change={(text) => act({ do: "point", point: text })}
        hint={pad.point.trim() === "" ? `${point} if left empty` : undefined}
      />
      <TextInput label="Note" value={pad.note} change={(note) => act({ do: "note", note })} />
      <Buttons>
        <Button pressed={pad.box === "distance"} press={() => act({ do: "box", box: pad.box === "distance" ? "reading" : "distance" })}>
          Distance along the route
        </Button>
        {!first && (
          <Button pressed={pad.box === "known"} press={() => act({ do: "box", box: pad.box === "known" ? "reading" : "known" })}>
            Its level is known
          </Button>
        )}
        {!readsDirect(book.instrument) && (
          <Button pressed={pad.inverted} press={() => act({ do: "invert" })}>
            Staff upside down, on an overhead point
          </Button>
        )}
      </Buttons>
    </Fold>
  );
  // Of a line that is written again the reading is most often what was wrong: the rest stands below the pad.
  return pad.correction ? (
    <div class="sight">
      <Where book={book} act={act} />
      {seldom}
    </div>
  ) : (
    seldom
  );
}

/** The pad: what was read, the level that it gives, and the keys. */
export function SightPad({ book, act, levels }: SightProps) {
  const { pad, rows } = book;
  const point = pointOf(book);
  const across = pad.stand?.spot === "section";
  const crowded = across && wantsChainage(pad.stand!); // three boxes side by side on a narrow phone
  const on = pad.point !== "" ? pointWords(point) : pad.stand?.spot === "bed" ? "the bed" : across ? "the section" : pointWords(point); // where it is stands in the box beside
  const field = useField();
  const stood = field.features.find((f) => f.id === pad.stand?.feature);
  const onTrack = stood !== undefined && besideKinds["track"]!.includes(kindOf(stood)); // a whoa-boy's chainage counts so
  const onBed = pad.stand !== null && wantsChainage(pad.stand) && pad.stand.spot !== "peg"; // on it, or across it
  const counts = countsFrom(useSection(field, onBed ? pad.stand!.feature : undefined));
  const first = isFirst(book);
  const before = pad.correction ? readBefore(rows[pad.at]!, pad.cell) : undefined;
  const here = levels?.rows[pad.at];
  const box = (name: Box) => ({
    value: pad.texts[name],
    active: pad.box === name,
    suggested: pad.suggested.includes(name) && pad.texts[name] !== "",
    take: () => pad.box !== name && act({ do: "box", box: name }),
    change: (text: string) => act({ do: "text", box: name, text }),
  });
  const sign = readsDirect(book.instrument) || pad.box === "known" || pad.box === "offset" || pad.texts.reading.startsWith("-");
  const accepts = isProposed(book);
  return (
    <NumberPad
      press={(key) => act({ do: "key", key })}
      enter={() => act({ do: "book" })}
      enterWord={accepts ? `Book at ${pad.texts.chainage} m` : "Book"}
      sign={sign}
    >
      <p class="level">
        {levelOf(here) !== undefined && (pad.cell !== "bs" || first) ? <b>{toMillimetre(levelOf(here)!)}</b> : null}{" "}
        <span>
          {pad.cell === "bs" && sightOf(here) !== undefined
            ? `sight ${toMillimetre(sightOf(here)!)}`
            : pad.texts.reading === ""
              ? ""
              : stepWords(here)}
        </span>
      </p>
      <div class="boxes">
        <NumberBox
          {...box("reading")}
          calm={hasEnded(book)}
          large
          label={readsDirect(book.instrument) ? `Higher by, at ${on}` : crowded ? "Staff reading" : `${cellWords[pad.cell]} on ${on}`}
          note={before === undefined ? undefined : `${asRead(before, book.instrument)} if left empty`}
        />
        {pad.stand && wantsChainage(pad.stand) && (
          <NumberBox
            {...box("chainage")}
            label={across ? "Chainage" : `Chainage, taped ${onBed ? counts || "along it" : onTrack ? "from its upper end" : "along it"}`}
            note={accepts ? "proposed: Book takes it" : undefined}
          />
        )}
        {across && <NumberBox {...box("offset")} label="Offset" note={offsetNote(keyedIn(pad.texts.offset), crowded)} />}
        {(first || pad.texts.known !== "" || pad.box === "known") && (
          <NumberBox {...box("known")} label={`Level of ${pointWords(point)}`} />
        )}
        {(pad.texts.distance !== "" || pad.box === "distance") && <NumberBox {...box("distance")} label="Along the route from its start" />}
      </div>
      <Doubt book={book} act={act} />
    </NumberPad>
  );
}

/** Which side it is on; how to say left before it is typed. */
const offsetNote = (offsetM: number | undefined, crowded: boolean): string =>
  offsetM === undefined
    ? `minus is left${crowded ? "" : ", looking downstream"}`
    : Math.abs(offsetM) > mostOffsetM
      ? `${mostOffsetM} m at most: is the point in the right place?`
      : sideOf(offsetM);

/** After a foresight the run may end: on a known point it then proves itself. */
function Ending({ book, act }: { book: Book; act: (act: Act) => void }) {
  const field = useField();
  const { pad, rows } = book;
  const another = <Button press={() => field.go(`#/level/${newID()}`)}>Begin a new book on another benchmark</Button>;
  const end = <Button press={() => field.go("#/level")}>End here</Button>; // leaving a book saves it
  if (rows[pad.at]?.knownLevelM !== undefined) {
    return (
      <>
        <p class="soft">This point has a known level, {toMillimetre(rows[pad.at]!.knownLevelM!)} m: the run may end here.</p>
        <Buttons label="The run has ended">
          {end}
          {another}
        </Buttons>
      </>
    );
  }
  const points = knownPoints(rows, field.features).slice(0, 4);
  return (
    <Buttons label="End the run here">
      {points.map((p) => (
        <Button key={`${p.point} ${p.levelM}`} press={() => act({ do: "known", at: pad.at, levelM: p.levelM, on: p })}>
          This is {p.point}, {toMillimetre(p.levelM)}
        </Button>
      ))}
      <Button pressed={pad.box === "known"} press={() => act({ do: "box", box: pad.box === "known" ? "reading" : "known" })}>
        Other known level
      </Button>
      {end}
      {another}
    </Buttons>
  );
}
