// A visit to a work or a gully head. The condition of the last visit stands ready, so that
// what holds is recorded with one tap here.

import { useRef, useState } from "preact/hooks";
import { fieldNamed, kindNamed } from "../../base/kinds.ts";
import { capital, day, dayOf } from "../../base/words.ts";
import { kindOf, textOf, type Feature } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { newID } from "../../base/uuid.ts";
import { Button } from "../../ui/button.tsx";
import { Choice, YesNo } from "../../ui/choice.tsx";
import { Frame, Opening } from "../../ui/frame.tsx";
import { ofItem } from "../part/ofitem.tsx";
import { DayInput, NumberInput, TextInput } from "../../ui/input.tsx";
import { Caution, Fold, Trouble } from "../../ui/panel.tsx";
import { useSaving } from "../part/usesaving.ts";
import { wrongIntoSight } from "../../ui/insight.ts";
import { How } from "../../ui/basischoice.tsx";
import { ownNameOf } from "../../base/names.ts";
import { useAsked } from "../../compute/useasked.ts";
import { Counter } from "./counter.tsx";
import { hits, isEmpty } from "../../survey/visit/steppoints.ts";
import { coverInput, coverWords, type Cover } from "../../survey/visit/cover.ts";
import { implausibleIn } from "../../survey/visit/plausibility.ts";
import {
  draftKey,
  type Form,
  type FormAction,
  formed,
  isBegun,
  isBlank,
  isUnbuilt,
  type Measure,
  measures,
  newForm,
  statusChange,
  unbuiltIn,
  unexplainedIn,
  visitDrafts,
  wrongIn,
} from "../../survey/visit/form.ts";
import { Head } from "./head.tsx";
import { Meaning, type PartProps } from "./meaning.tsx";
import { judged, lastOf, visitsTo, type PastVisit } from "../../survey/visit/visits.ts";
import type { Seasons } from "../../survey/visit/season.ts";
import { useSeasons } from "./useseasons.ts";
import { useAsking } from "../../ui/hooks.ts";

const conditions = kindNamed("visit").fields.find((f) => f.name === "condition")?.choices ?? [];
const sedimentHow = fieldNamed("visit", "sedimentDepthBasis");

export const Visit = ofItem(Opened, { named: "of", title: "Visit" });

function Opened({ feature: thing }: { feature: Feature }) {
  const field = useField();
  const [seasons, setSeasons] = useSeasons();
  const [draft, setDraft] = useState<Form | null | undefined>();
  useAsking(
    () => field.store.draft<Form>(draftKey(thing.id)),
    [],
    // One that was saved just before the phone died is no draft any more.
    (f) => setDraft(f && isBegun(f) && !field.features.some((known) => known.id === f.id) ? f : null),
    () => setDraft(null),
  );
  if (!seasons || draft === undefined) return <Opening title={`Visit to ${ownNameOf(thing)}`} />;
  return <Writing thing={thing} seasons={seasons} change={setSeasons} draft={draft} />;
}

interface WritingProps {
  readonly thing: Feature;
  readonly seasons: Seasons;
  readonly change: (seasons: Seasons) => void;
  readonly draft: Form | null;
}

function Writing({ thing, seasons, change, draft }: WritingProps) {
  const field = useField();
  const visits = visitsTo(thing.id, field.features).filter((l) => judged(l) && l.id !== draft?.id);
  const [form, setForm] = useState<Form>(() => draft ?? newForm(newID(), visits));
  const latest = useRef(form); // two presses may come before the screen is drawn again
  const [counting, setCounting] = useState(false);
  const { failed, busy, save } = useSaving();
  const [missed, setMissed] = useState(false); // a save was tried: what is still to choose is marked
  const today = dayOf(new Date());
  const { output: cover } = useAsked(field.model, "cover", coverInput(form.count, today, seasons), true);
  const act = (action: FormAction) => {
    latest.current = formed(latest.current, action);
    setForm(latest.current);
    field.store.keepDraft(draftKey(thing.id), latest.current).catch(() => {}); // what is typed stays on the screen
  };
  const wrong = wrongIn(form);
  const doubts = implausibleIn(form, thing, visits);
  const unexplained = unexplainedIn(form);
  const unbuilt = unbuiltIn(form, thing);
  const status = statusChange(form, thing);
  const saveVisit = async () => {
    const stop =
      Object.values(wrong)[0] ??
      doubts[0]?.question ??
      unexplained ??
      unbuilt ??
      (isBlank(form) ? "choose the condition, or measure something first." : undefined);
    if (stop) {
      field.refuse(stop);
      setMissed(true);
      return wrongIntoSight();
    }
    await save(async () => {
      await field.capture(visitDrafts(form, thing, today, cover?.coverPct), `Visit to ${ownNameOf(thing)} saved`);
      await field.store.dropDraft(draftKey(thing.id));
      field.back();
    });
  };
  const discard = async () => {
    await field.store.dropDraft(draftKey(thing.id)).catch(() => {}); // it is then offered once more
    field.back();
  };
  if (counting) {
    return (
      <Counter
        count={form.count}
        act={(count) => act({ do: "count", count })}
        seasons={seasons}
        change={change}
        done={() => setCounting(false)}
      />
    );
  }
  const first = measures(kindOf(thing));
  const folded = (["head", "sediment", "cover"] as const).filter((m) => !first.includes(m));
  const last = lastOf(visits);
  const judgedLast = lastOf(visits.filter((l) => l.condition !== ""));
  const doubtOf = (measure: Measure) => doubts.find((d) => d.measure === measure);
  const part = (measure: "head" | "sediment" | "cover") => {
    switch (measure) {
      case "head":
        return (
          <Head
            key={measure}
            form={form}
            act={act}
            wrong={wrong.headOffset}
            doubt={doubtOf("headOffset")}
            thing={thing}
            visits={visits}
            seasons={seasons}
            today={today}
          />
        );
      case "sediment":
        return (
          <Sediment
            key={measure}
            form={form}
            act={act}
            wrong={wrong.sediment}
            doubt={doubtOf("sediment")}
            how={missed ? unexplained : undefined}
            last={lastOf(visits.filter((l) => l.sedimentDepthM !== undefined))}
          />
        );
      case "cover":
        return <CoverPart key={measure} form={form} cover={cover} open={() => setCounting(true)} />;
    }
  };
  return (
    <Frame
      title={`Visit to ${ownNameOf(thing)}`}
      under={
        <p class="soft">
          {last ? `Last visit ${day(last.on)}${last.condition && `: ${last.condition}`}` : "First visit"}. Today is {day(today)}.
        </p>
      }
      actions={
        <Button rank="main" wide press={() => void saveVisit()} disabled={busy}>
          {form.condition ? `Save: ${form.condition}` : "Save visit"}
        </Button>
      }
    >
      {draft && (
        <p class="caution">
          This visit was begun and not saved. What you entered is still here.
          <Button wide press={() => void discard()}>
            Discard what was entered
          </Button>
        </p>
      )}
      {failed && <Trouble {...failed} />}
      <div class="condition">
        <Choice
          label="Condition"
          of={conditions.map((c) => ({ value: c, label: capital(c) }))}
          hint={form.asked ? undefined : form.condition ? `from the visit on ${day(judgedLast?.on ?? "")}` : "choose it"}
          value={form.condition || undefined}
          none="Not judged"
          pick={(condition) => act({ do: "condition", condition })}
        />
      </div>
      {isUnbuilt(form, thing) && (
        <div class="caution">
          <YesNo
            label={`It is recorded as ${textOf(thing, "status")}. Has it been built?`}
            value={form.built}
            pick={(yes) => yes !== undefined && act({ do: "built", yes })}
            required
          />
          {form.built && (
            <DayInput
              label="Built on"
              value={form.builtOn ?? ""}
              change={(text) => act({ do: "type", field: "builtOn", text })}
              wrong={missed ? unbuilt : undefined}
            />
          )}
          {form.built === undefined && missed && <p class="wrong">{unbuilt}</p>}
        </div>
      )}
      {status === "failed" && <Caution>Saving marks it as found failed on {day(today)}. When it failed is not known.</Caution>}
      {textOf(thing, "status") === "failed" && form.condition === "sound" && (
        <YesNo
          label="It had failed. Has it been repaired?"
          value={form.standsAgain ? true : undefined}
          pick={(yes) => act({ do: "stands-again", yes: yes === true })}
        />
      )}
      {first.map(part)}
      <div class="stack">
        <a class="button wide" href={`#/photo/${thing.id}`}>
          Photo
        </a>
      </div>
      <TextInput label="Notes" plain long value={form.notes} change={(text) => act({ do: "type", field: "notes", text })} />
      <Fold title="Measure something else">{folded.map(part)}</Fold>
    </Frame>
  );
}

function Sediment({ form, act, wrong, doubt, last, how }: PartProps & { last: PastVisit | undefined; how: string | undefined }) {
  return (
    <>
      <NumberInput
        label="Sediment caught"
        unit="m"
        value={form.sediment}
        change={(text) => act({ do: "type", field: "sediment", text })}
        wrong={wrong}
        hint={last ? `${last.sedimentDepthM} m on ${day(last.on)}` : "its depth at the dam"}
      />
      <Meaning {...{ form, act, wrong, doubt }} measure="sediment" />
      {form.sediment !== "" && (
        <How
          field={sedimentHow}
          answer={form.sedimentBasis}
          change={(text) => act({ do: "type", field: "sedimentBasis", text })}
          wrong={how}
        />
      )}
      {form.sediment !== "" && <Caution>Fresh silt may not bear a person. Probe from the side or from a board.</Caution>}
    </>
  );
}

function CoverPart({ form, cover, open }: { form: Form; cover: Cover | undefined; open: () => void }) {
  const words = cover && coverWords(cover);
  return (
    <section aria-labelledby="cover">
      <h2 id="cover">Ground cover</h2>
      {!isEmpty(form.count) && (
        <p>
          {words && (
            <strong>
              {words.pct}, {words.limits}.{" "}
            </strong>
          )}
          {form.count.way === "points"
            ? `${hits(form.count)} of ${form.count.points.length} points`
            : `${form.count.plotsPct.length} plots`}
        </p>
      )}
      <Button wide press={open}>
        {isEmpty(form.count) ? "Count cover" : "Continue"}
      </Button>
    </section>
  );
}
