// The first screen: what was recorded today, and what to record next.

import { useMemo, useState } from "preact/hooks";
import { useApp } from "../context/app.ts";
import { kindNamed } from "../../base/kinds.ts";
import { isPhoto, nameOf } from "../../base/names.ts";
import { calledProperty } from "../../storage/chosenproperty.ts";
import { clock, count } from "../../base/words.ts";
import { kindOf, textOf, type Feature } from "../../base/entry.ts";
import { type Params, useField } from "../context/field.ts";
import { cameraPath, Icon, ItemLink } from "../../ui/icon.tsx";
import { Button } from "../../ui/button.tsx";
import { useAsking, useRead } from "../../ui/hooks.ts";
import { Question } from "../../ui/question.tsx";
import { lacksPlace } from "../../base/nearest.ts";
import { Asked, Processing, usePending } from "../part/pendingphotos.tsx";
import { actsOf, type Act } from "../../survey/item/acts.ts";
import { begunWork, nothingBegun, recordedTodayOn, type Begun, type RecordedToday } from "./begun.ts";
import { Clashing } from "./clashing.tsx";
import { Preview } from "./preview.tsx";
import { UnfinishedForm, UnfinishedBook, UnfinishedLine, UnfinishedShape, UnfinishedVisit } from "../part/unfinished.tsx";
import { SetPosition } from "../part/ofitem.tsx";
import { keptWords } from "../../storage/persistence.ts";
import { Caution } from "../../ui/panel.tsx";

export function Home(_: { params: Params }) {
  const field = useField();
  const { state } = useApp();
  const begun = useRead(() => begunWork(field.store, field.property.id), nothingBegun, field.property.id);
  const several = state.self?.properties.filter((p) => !p.into).length ?? 0;
  return (
    <>
      <header class="head first home">
        <h1 tabIndex={-1}>{calledProperty(field.property)}</h1>
        <a class="quiet" href="#/property">
          {several > 1 ? `Properties (${several})` : "Properties"}
        </a>
      </header>
      <div class={begun && state.featuresRead ? "sheet" : "sheet coming"}>{begun && <Sheet begun={begun} />}</div>
      <nav class="actions doings" aria-label="Record">
        {doings.map((d) => (
          <a key={d.route} class="button" href={d.route}>
            <Icon path={d.icon} />
            {d.label}
          </a>
        ))}
      </nav>
    </>
  );
}

function Sheet({ begun: { kept, forms, book, lines, visits, shapes, shots, recordedToday } }: { begun: Begun }) {
  const field = useField();
  const { state } = useApp();
  const now = useRecordedToday(recordedToday);
  const { recorded } = now;
  const acts = useMemo(() => actsOf(recorded, field.features, now.undone), [now, field.features]);
  const [many, setMany] = useState(atATime);
  const { asked, ...pending } = usePending(undefined, shots);
  const [atFirst] = useState(() => new Set(asked.map((s) => s.id)));
  return (
    <>
      {kept !== true && <NotKept kept={kept} />}
      {forms.map((form) => (
        <UnfinishedForm key={form.feature} form={form} features={field.features} />
      ))}
      {book && <UnfinishedBook book={book} />}
      {lines.map((line) => (
        <UnfinishedLine key={`${line.kind} ${line.shape}`} line={line} />
      ))}
      {visits.map((visit) => (
        <UnfinishedVisit key={visit.of} visit={visit} features={field.features} />
      ))}
      {[...shapes].map(([id, stamp]) => (
        <UnfinishedShape key={id} id={id} stamp={stamp} features={field.features} />
      ))}
      {asked
        .filter((s) => atFirst.has(s.id))
        .map((shot) => (
          <Asked key={shot.id} shot={shot} />
        ))}
      <Clashing features={field.features} />
      <Preview features={field.features} />
      <h2 id="today">
        {recorded.length
          ? `Today: ${count(recorded.length, "entry", "entries")}`
          : state.featuresRead
            ? "Nothing recorded today yet"
            : "Today"}
      </h2>
      {acts.length > 0 && (
        <ul class="list" aria-labelledby="today">
          {acts.slice(0, many).map((act) => (
            <Done key={act.key} act={act} />
          ))}
        </ul>
      )}
      <Unplaced features={field.features} without={new Set(acts.slice(0, many).map((a) => a.feature.id))} />
      {acts.length > many && (
        <Button wide press={() => setMany(many + atATime)}>
          Show {Math.min(atATime, acts.length - many)} more
        </Button>
      )}
      {asked
        .filter((s) => !atFirst.has(s.id))
        .map((shot) => (
          <Asked key={shot.id} shot={shot} />
        ))}
      <Processing {...pending} />
    </>
  );
}

const atATime = 40; // as many as a thumb scrolls through

/** What this phone recorded today, from the same entries that are counted in the strip. */
function useRecordedToday(first: RecordedToday): RecordedToday {
  const field = useField();
  const { counts } = useApp().state;
  const [now, set] = useState(first);
  const day = new Date().toDateString();
  useAsking(() => recordedTodayOn(field.store, field.property.id), [counts, field.features, field.property.id, day], set);
  return now;
}

/** One save, and beside it what takes back that save and nothing else. */
function Done({ act }: { act: Act }) {
  const { undo } = useApp();
  const field = useField();
  const { feature, name, did, back, several } = act;
  const [asking, ask] = useState(false);
  const at = clock(act.at, new Date());
  const press = () => {
    if (several) ask(!asking);
    else if (back === "restore")
      void field
        .capture([{ feature: feature.id, strike: false }], `${name} restored`, false)
        .catch(() => field.say("It could not be saved. Try again."));
    else void undo(act.entries, back === "strike out" ? `${name} struck out` : `Undone: ${name} ${did}`);
  };
  const words = [
    `${at} ${did}`,
    act.entries.length > 1 && count(act.entries.length, "entry", "entries"),
    act.refused ? "refused" : act.waits > 0 && "not sent yet",
    feature.struck && did !== "struck out" && "struck out",
  ]
    .filter(Boolean)
    .join(", ");
  return (
    <li class={feature.struck ? "struck" : undefined}>
      <ItemLink to={addressOf(act)} of={feature} name={name}>
        <span class="soft">{words}</span>
        {lacksPlace(feature) && <span class="wrong">no position yet</span>}
      </ItemLink>
      {back && (
        <Button rank="quiet" press={press} label={`${buttonWords[back]} ${name}, ${did} ${at}`}>
          {buttonWords[back]}
        </Button>
      )}
      {several && asking && (
        <Question words={several.asks} ifNot="" yes={several.yes} confirm={() => void undo(several.entries, several.done)} />
      )}
      <SetPosition of={feature} name={name} wide />
    </li>
  );
}

const unplacedShown = 3;

/** Items of other days that nobody can find again: where they are was never recorded. */
function Unplaced({ features, without }: { features: readonly Feature[]; without: ReadonlySet<string> }) {
  const all = useMemo(() => features.filter((f) => lacksPlace(f) && !without.has(f.id)), [features, without]);
  if (all.length === 0) return null;
  const more = all.length - unplacedShown;
  return (
    <>
      <h2 id="unplaced">Without a position: {count(all.length, "item", "items")} recorded before</h2>
      <ul class="list" aria-labelledby="unplaced">
        {all.slice(0, unplacedShown).map((f) => (
          <li key={f.id}>
            <ItemLink to={`#/thing/${f.id}`} of={f} name={nameOf(f, features)}>
              <span class="soft">{kindNamed(kindOf(f)).label}</span>
            </ItemLink>
            <SetPosition of={f} name={nameOf(f, features)} />
          </li>
        ))}
      </ul>
      {more > 0 && <p class="soft">{count(more, "more is", "more are")} last in the list of items on the map.</p>}
    </>
  );
}

const buttonWords = { "strike out": "Strike out", restore: "Restore", undo: "Undo" } as const;

/** A photo and a visit open with the item they are of. */
function addressOf({ feature }: Act): string {
  const of = textOf(feature, "of");
  return kindOf(feature) !== "visit" || of === "" ? `#/thing/${feature.id}` : isPhoto(feature) ? `#/photo/${of}` : `#/thing/${feature.id}`;
}

// Told on the first screen at every start as long as the browser has not promised to keep
// what is stored: it may drop it when the phone runs short. A promise that comes while this
// is read is told in the same place.
function NotKept({ kept }: { kept: boolean | undefined }) {
  const { storage } = useApp().state;
  return <Caution>{keptWords(storage?.kept || kept)}</Caution>;
}

interface Doing {
  readonly route: string;
  readonly label: string;
  readonly icon: string; // an SVG path in a 24 by 24 box
}

const doings: readonly Doing[] = [
  { route: "#/mark", label: "Mark", icon: "M12 3v12M12 21a3 3 0 1 0-.1 0M6 9l6 6 6-6" },
  { route: "#/line", label: "Line or area", icon: "M4 19l5-9 5 4 6-10M4 19h.1M20 4h.1" },
  { route: "#/level", label: "Level", icon: "M4 6h16v4H4zM12 10v4M12 14l-5 7M12 14l5 7" },
  { route: "#/peg", label: "Peg out", icon: "M6 3v18M6 4h10l-3 3 3 3H6" },
  { route: "#/photo", label: "Photo", icon: cameraPath },
  { route: "#/visit", label: "Visit", icon: "M12 6v6l4 3M12 3a9 9 0 1 0 .1 0" },
];
