// The form of a thing that was just marked. Typing is kept as it goes; leaving the form
// saves what was typed, as there is always an undo.

import { useEffect, useRef, useState } from "preact/hooks";
import type { Kind } from "../app/kinds.ts";
import { dayOf } from "../app/words.ts";
import type { Fields } from "../entry.ts";
import { useField } from "../field.ts";
import { Button } from "../kit/button.tsx";
import { focusHeading, Frame } from "../kit/frame.tsx";
import { KindMark } from "../kit/mark.tsx";
import { Trouble } from "../kit/part.tsx";
import { troubleOf, type Told } from "../kit/trouble.ts";
import { defaultsFor, filled, withStatusDay, type Answers } from "./form.ts";
import { FormFields } from "./formfields.tsx";
import { openFormKey, type OpenForm } from "./openform.ts";
import { PlaceNote } from "./placenote.tsx";
import { placeFields, toStore } from "./position.ts";
import type { Averaging } from "./useplacing.ts";

interface FillProps {
  readonly feature: string;
  readonly kind: Kind;
  readonly averaging: Averaging;
}

export function Fill({ feature, kind, averaging }: FillProps) {
  const { placing, tell } = averaging;
  const field = useField();
  const [answers, setAnswers] = useState<Answers>(() => defaultsFor(kind, field.features.filter((f) => f.id !== feature)));
  const [typed, setTyped] = useState(false);
  const [wrong, setWrong] = useState<{ readonly [field: string]: string }>({});
  const [failed, setFailed] = useState<Told | null>(null);
  const before: Fields = field.features.find((f) => f.id === feature)?.fields ?? {};
  const form = useOpenForm(feature, kind);

  useEffect(focusHeading, []); // the form takes the chooser's place under the same address

  const change = (name: string, answer: string) => {
    const now = { ...answers, [name]: answer };
    setAnswers(now);
    setTyped(true);
    form.keep(filled(kind, now, before).set);
  };

  const save = async () => {
    const told = filled(kind, answers, before);
    setWrong(told.wrong);
    const first = Object.keys(told.wrong)[0];
    if (first) {
      field.say(`Not saved: ${told.wrong[first]}`);
      return false;
    }
    const fix = toStore(placing);
    const set = { ...withStatusDay(told.set, before, dayOf(new Date())), ...(fix ? placeFields(fix) : {}) };
    if (Object.keys(set).length > 0) await field.capture([{ feature, set }], `${kind.label} saved`);
    if (fix) tell({ do: "stored", fix });
    await form.drop();
    return true;
  };

  const leave = async (mustSave: boolean) => {
    try {
      if (!mustSave && !typed && !toStore(placing)) return field.go("#/");
      if (await save()) field.go("#/");
    } catch (error) {
      setFailed(troubleOf(error));
    }
  };

  // A place found only now is worth an entry at once: the phone may die before "Save".
  const found = placing.stored === null ? toStore(placing) : null;
  useEffect(() => {
    if (!found) return;
    tell({ do: "stored", fix: found });
    field.capture([{ feature, set: placeFields(found) }], `Position of the ${kind.label.toLowerCase()} saved`).catch((error: unknown) => setFailed(troubleOf(error)));
  }, [found !== null]);

  return (
    <Frame title={kind.label} back={() => void leave(false)} under={<p class="soft">Saved. Add what you know.</p>} actions={<Button rank="main" wide press={() => void leave(true)}>Save</Button>}>
      {failed && <Trouble what={failed.what} todo={failed.todo} />}
      <div class="kindline">
        <KindMark kind={kind.name} />
        <div>
          <PlaceNote {...averaging} />
        </div>
      </div>
      <FormFields kind={kind} answers={answers} wrong={wrong} change={change} features={field.features} />
    </Frame>
  );
}

/** Keeps what is typed, one write after the other, the newest last. */
export function useOpenForm(feature: string, kind: Kind) {
  const field = useField();
  const key = openFormKey(field.property.id);
  const writing = useRef<Promise<void>>(Promise.resolve());
  const newest = useRef<Fields | null>(null);
  const write = (work: () => Promise<void>) => (writing.current = writing.current.then(work, work).catch(() => {}));
  return {
    keep(values: Fields): void {
      newest.current = values;
      void write(async () => {
        if (newest.current !== values) return; // more was typed since
        await field.shelf.keepDraft(key, { feature, kind: kind.name, values } satisfies OpenForm);
      });
    },
    drop(): Promise<void> {
      newest.current = null;
      return write(() => field.shelf.dropDraft(key));
    },
  };
}
