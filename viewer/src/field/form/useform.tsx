// What the form of a new item and that of an edit share: what was refused, what is kept as it
// is typed, and the way out where something cannot be saved.

import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { fieldsOf, type Kind } from "../../base/kinds.ts";
import type { Fields } from "../../base/entry.ts";
import { type Told, troubleOf } from "../../storage/errors.ts";
import { answerOf, type Filled, type Form } from "../../survey/form/form.ts";
import { Button } from "../../ui/button.tsx";
import { wrongIntoSight } from "../../ui/insight.ts";
import { useField } from "../context/field.ts";
import { openForm, useOpenForm } from "../part/openform.ts";

export function useForm(feature: string, kind: Kind, setForm: (change: (now: Form) => Form) => void) {
  const field = useField();
  const [refused, setRefused] = useState<Filled["wrong"]>({});
  const [failed, setFailed] = useState<Told | null>(null);
  const [asksToLeave, setAsksToLeave] = useState(false); // she wants to go back, and something cannot be saved
  const kept = useOpenForm(feature, kind);
  useEffect(() => {
    // What was typed before the form was left, or the phone died, goes on top of what is stored.
    openForm(field.store, field.property.id, feature).then(
      (form) => form && setForm((now) => typedAgain(kind, now, form.values)),
      () => {},
    );
  }, []);
  return {
    refused,
    failed,
    kept,
    fail: (error: unknown) => setFailed(troubleOf(error)),
    /** Whether what was filled in can be saved; what cannot is brought into sight. */
    accepts({ wrong }: Filled): boolean {
      setRefused(wrong);
      const first = Object.values(wrong)[0];
      if (!first) return true;
      field.refuse(first);
      wrongIntoSight();
      return false;
    },
    askToLeave: () => setAsksToLeave(true),
    /** The buttons below the form; children stand above them. */
    actions: (struck: boolean, save: () => void, leave: () => void, children?: ComponentChildren) => (
      <div class="forms">
        {children}
        <Button rank={children ? "plain" : "main"} wide press={save}>
          {struck ? "Restore and save" : "Save"}
        </Button>
        {asksToLeave && (
          <Button wide press={() => void kept.drop().then(leave)}>
            Leave without saving this
          </Button>
        )}
      </div>
    ),
  };
}

/** A form with what was typed in it before; what was typed since stays. */
function typedAgain(kind: Kind, now: Form, values: Fields): Form {
  const typedThen = fieldsOf(kind).filter((f) => f.name in values && !now.touched.includes(f.name));
  return {
    ...now,
    answers: { ...now.answers, ...Object.fromEntries(typedThen.map((f) => [f.name, answerOf(f, values[f.name])])) },
    touched: [...now.touched, ...typedThen.map((f) => f.name)],
  };
}
