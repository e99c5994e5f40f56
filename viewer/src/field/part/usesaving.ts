// Saving from a screen: one save at a time, and what went wrong is shown.

import { useRef, useState } from "preact/hooks";
import { type Told, troubleOf } from "../../storage/errors.ts";

export interface Saving {
  readonly failed: Told | null;
  readonly fail: (why: Told | null) => void;
  readonly busy: boolean;
  /** A second tap of a glove does nothing: after a save the screen is left, unless its work gives "stays". */
  readonly save: (work: () => Promise<unknown>) => Promise<void>;
}

export function useSaving(): Saving {
  const [failed, fail] = useState<Told | null>(null);
  const [busy, setBusy] = useState(false);
  const saving = useRef(false);
  const idle = () => setBusy((saving.current = false));
  const save: Saving["save"] = async (work) => {
    if (saving.current) return;
    setBusy((saving.current = true));
    fail(null);
    try {
      if ((await work()) === "stays") idle();
    } catch (error) {
      fail(troubleOf(error));
      idle();
    }
  };
  return { failed, fail, busy, save };
}
