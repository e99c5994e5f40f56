// What the form of a new item and that of an edit share: what was refused, what is kept as it
// is typed, and the way out where something cannot be saved.

import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import type { Kind } from "../../base/kinds.ts";
import { type Told, troubleOf } from "../../storage/errors.ts";
import type { Filled } from "../../survey/form/form.ts";
import { Button } from "../../ui/button.tsx";
import { wrongIntoSight } from "../../ui/insight.ts";
import { useField } from "../context/field.ts";
import { useOpenForm } from "../part/openform.ts";

export function useForm(feature: string, kind: Kind) {
  const field = useField();
  const [refused, setRefused] = useState<Filled["wrong"]>({});
  const [failed, setFailed] = useState<Told | null>(null);
  const [asksToLeave, setAsksToLeave] = useState(false); // she wants to go back, and something cannot be saved
  const kept = useOpenForm(feature, kind);
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
