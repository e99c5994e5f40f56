// The form of an item that was just recorded. What it shows is what its save writes, and
// nothing else. Typing is kept as it goes; leaving the form saves what was typed, as there is
// always an undo.

import { useEffect, useState } from "preact/hooks";
import type { Kind } from "../../base/kinds.ts";
import { day, dayOf, distance } from "../../base/words.ts";
import { placeOf, textOf, type Feature, type Fields } from "../../base/entry.ts";
import { useApp } from "../context/app.ts";
import { useField } from "../context/field.ts";
import { goInPlace } from "../context/history.ts";
import { Button } from "../../ui/button.tsx";
import { focusHeading, Frame } from "../../ui/frame.tsx";
import { KindMark } from "../../ui/icon.tsx";
import { Trouble } from "../../ui/panel.tsx";
import { standsAt } from "../../survey/form/beside.ts";
import { besideProposed, changed, filled, given, newForm, stillWrong, type Answers, type Form } from "../../survey/form/form.ts";
import { FormFields } from "./formfields.tsx";
import { metresBetween } from "../../base/plane.ts";
import { piecesOf } from "../../survey/setout/lineends.ts";
import { PlaceNote } from "./placenote.tsx";
import { placeFields, toStore } from "../../survey/form/position.ts";
import { useForm } from "./useform.tsx";
import { savedWords, saving, Struck } from "../part/struck.tsx";
import { type Averaging, useStoreNow } from "./useplacing.ts";

interface FillProps {
  readonly feature: string;
  readonly kind: Kind;
  /** Of a point that is being marked; a line or an area has its place already. */
  readonly averaging?: Averaging;
  /** Which of several that were saved together, in words. */
  readonly part?: string;
  /** Where to go when it is done. */
  readonly done: () => void;
  /** What comes next with a kind of which the form is only the beginning. */
  readonly next?: { readonly words: string; readonly go: () => void } | undefined;
}

export function Fill({ feature, kind, averaging, part, done, next }: FillProps) {
  const placing = averaging?.placing;
  const field = useField();
  const { struck: struckNow, resumes } = useApp().state.said;
  const undone = struckNow?.includes(feature) ?? false;
  const item = field.features.find((f) => f.id === feature);
  const before: Fields = item?.fields ?? {};
  const [typed, setForm] = useState<Form>(() =>
    newForm(
      kind,
      field.features.filter((f) => f.id !== feature),
    ),
  );
  const { refused, failed, fail, kept, accepts, askToLeave, actions } = useForm(feature, kind, setForm);
  const at = placing?.mean ?? standsAt(item);
  const form = besideProposed(kind, typed, field.features, at);

  useEffect(focusHeading, []); // the form takes the chooser's place under the same address

  const change = (name: string, answer: string) => {
    const now = changed(kind, form, name, answer);
    setForm(now);
    kept.keep(filled(kind, given(now), before).set);
  };

  // Undone here: there is nothing to add to. What was typed goes with it; a walk that its save ended goes on.
  useEffect(() => {
    if (undone) void kept.drop().then(() => (resumes ? goInPlace(resumes) : field.back()));
  }, [undone]);

  const struck = item?.struck ?? false;
  const toPlace = () => (placing ? toStore(placing) : null);
  const save = async (answers: Answers, restores: boolean) => {
    const told = filled(kind, answers, before);
    if (!accepts(told)) return false;
    const fix = toPlace();
    const set = { ...told.set, ...(fix ? placeFields(fix) : {}) };
    const saves = Object.keys(set).length > 0;
    if (saves || restores) await field.capture(saving(feature, set, restores), `${kind.label}: ${savedWords(saves, struck, restores)}`);
    if (fix) averaging?.tell({ do: "stored", fix });
    await kept.drop();
    return true;
  };

  /** Leaving keeps what the officer gave; only saving confirms what was carried over. */
  const leave = async (confirmed: boolean, then = done) => {
    try {
      if (!confirmed && form.touched.length === 0 && !toPlace()) return then();
      if (await save(confirmed ? form.answers : given(form), confirmed && struck)) then();
      else if (!confirmed) askToLeave();
    } catch (error) {
      fail(error);
    }
  };

  useStoreNow(averaging, feature, `the ${kind.label.toLowerCase()}`, !undone, fail);

  const recordedOn = (item && textOf(item, "observedOn")) || dayOf(new Date());
  return (
    <Frame
      title={kind.label}
      back={() => void leave(false)}
      under={
        <p class="soft">
          {part && (
            <b>
              {part}
              {item && lengthOf(item)}.{" "}
            </b>
          )}
          Saved, recorded on {day(recordedOn)}. Add what you know.
        </p>
      }
      actions={actions(
        struck,
        () => void leave(true),
        done,
        next && (
          <Button rank="main" wide press={() => void leave(true, next.go)}>
            {struck ? `Restore. ${next.words}` : next.words}
          </Button>
        ),
      )}
    >
      {struck && <Struck />}
      {failed && <Trouble {...failed} />}
      {averaging && (
        <div class="kindline">
          <KindMark kind={kind.name} />
          <div>
            <PlaceNote {...averaging} />
          </div>
        </div>
      )}
      <FormFields
        kind={kind}
        form={form}
        wrong={stillWrong(refused, filled(kind, form.answers, before))}
        change={change}
        features={field.features}
        at={at}
        pieces={piecesOf(item && placeOf(item))}
      />
    </Frame>
  );
}

/** ", 43 m long", by which the parts of a line are told apart. */
function lengthOf(item: Feature): string {
  const place = placeOf(item);
  if (place?.type !== "LineString") return "";
  const spots = place.coordinates.map(([lon, lat]) => ({ lon, lat }));
  return `, ${distance(spots.slice(1).reduce((sum, s, i) => sum + metresBetween(spots[i]!, s), 0))} long`;
}
