// Correcting a thing: a new entry with what differs. What was said before stays in the
// register. What a visit measures is asked by a visit, which has a date of its own: an edited
// measurement would bear the day on which the item was first recorded.

import { useState } from "preact/hooks";
import { fieldNamed, kindNamed } from "../../base/kinds.ts";
import { isPhoto, kindLabelOf, labelOf, nameOf } from "../../base/names.ts";
import { called } from "../../base/words.ts";
import { kindOf, placeOf, textOf, type Feature } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { Fold, Trouble } from "../../ui/panel.tsx";
import { troubleOf } from "../../storage/errors.ts";
import { standsAt } from "../../survey/form/beside.ts";
import { answersOf, changed, emptyForm, filled, stillWrong, type Form } from "../../survey/form/form.ts";
import { FormFields } from "./formfields.tsx";
import { useForm } from "./useform.tsx";
import { saving, Struck } from "../part/struck.tsx";
import { PlaceNote } from "./placenote.tsx";
import { placeFields, toStore } from "../../survey/form/position.ts";
import { usePlacing, useStoreNow } from "./useplacing.ts";
import { piecesOf } from "../../survey/setout/lineends.ts";
import { measuredAtVisits } from "../../survey/visit/newest.ts";
import { ofItem } from "../part/ofitem.tsx";

export const Edit = ofItem(Correcting);

function Correcting({ feature }: { feature: Feature }) {
  const field = useField();
  const kind = kindNamed(kindOf(feature));
  const [form, setForm] = useState<Form>(() => ({ ...emptyForm, answers: answersOf(kind, feature.fields) }));
  const typed = form.touched.length > 0;
  const { refused, failed, fail, kept, accepts, askToLeave, actions } = useForm(feature.id, kind, setForm);
  const byVisits = measuredAtVisits(kind);
  const [struckBefore] = useState(feature.struck);
  const [unplaced] = useState(!placeOf(feature));
  // A photo's is where the camera stood, which nobody finds by standing somewhere later.
  const place = !isPhoto(feature) && (placeOf(feature)?.type ?? "Point") === "Point" && kind.shapes.includes("point") && (
    <Fold title="Position" open={unplaced}>
      <Moved feature={feature} />
    </Fold>
  );

  const change = (name: string, answer: string) => {
    const now = changed(kind, form, name, answer);
    setForm(now);
    kept.keep(filled(kind, now.answers, feature.fields).set);
  };

  const leave = async (confirmed: boolean) => {
    const told = filled(kind, form.answers, feature.fields);
    if (!accepts(told)) return confirmed ? undefined : askToLeave();
    try {
      const { set } = told;
      const restores = confirmed && feature.struck,
        saves = Object.keys(set).length > 0;
      const did = [restores && "restored", saves && "edited", feature.struck && !restores && "still struck out"].filter(Boolean).join(", ");
      if (saves || restores)
        await field.capture(saving(feature.id, set, restores), `${called(textOf(feature, "name"), kindLabelOf(feature))} ${did}`);
      await kept.drop();
      field.back();
    } catch (error) {
      fail(error);
    }
  };

  return (
    <Frame
      title={`Edit ${called(textOf(feature, "name"), kindLabelOf(feature).toLowerCase())}`}
      back={() => (typed ? void leave(false) : field.back())}
      actions={actions(feature.struck, () => void leave(true), field.back)}
    >
      {feature.struck && <Struck opened={struckBefore} />}
      {failed && <Trouble {...failed} />}
      {unplaced && place}
      <FormFields
        kind={kind}
        label={(f) => labelOf(feature, f)}
        form={form}
        wrong={stillWrong(refused, filled(kind, form.answers, feature.fields))}
        change={change}
        features={field.features.filter((f) => f.id !== feature.id)}
        at={standsAt(feature)}
        pieces={piecesOf(placeOf(feature))}
        without={byVisits}
      />
      {byVisits.length > 0 && (
        <>
          <p>{byVisits.map((name) => fieldNamed(kind.name, name).label).join(", ")}: measured again at each visit, with its date.</p>
          <a class="button wide" href={`#/visit/${feature.id}`}>
            Record a visit
          </a>
        </>
      )}
      {!unplaced && place}
    </Frame>
  );
}

/** Gives a point the place where the phone is now. */
function Moved({ feature }: { feature: Feature }) {
  const field = useField();
  const averaging = usePlacing();
  const { placing, tell } = averaging;
  const fix = toStore(placing);
  const failed = (error: unknown) => field.say(troubleOf(error).what);
  useStoreNow(averaging, feature.id, nameOf(feature, field.features), placing.stored !== null, failed); // moved here, and GPS jumped since
  const move = (to: NonNullable<typeof fix>) =>
    field
      .capture([{ feature: feature.id, set: placeFields(to) }], placeOf(feature) ? "Position edited" : "Position saved")
      .then(() => tell({ do: "stored", fix: to }), failed);
  return (
    <>
      <PlaceNote {...averaging} />
      <Button wide disabled={!fix} press={() => fix && void move(fix)}>
        {placeOf(feature) ? "Move it to where I stand" : "It is where I stand"}
      </Button>
    </>
  );
}
