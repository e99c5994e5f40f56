// One item of the property among those that a field can mean: what is chosen, and behind it
// the list of all, nearest first.

import { useEffect, useRef, useState } from "preact/hooks";
import { nameOf } from "../../base/names.ts";
import { useApp } from "../context/app.ts";
import type { Feature } from "../../base/entry.ts";
import { Button } from "../../ui/button.tsx";
import { ItemMark } from "../../ui/icon.tsx";
import { awayOf, awayWords } from "../../base/away.ts";
import type { Place } from "../../base/plane.ts";
import { NearList } from "./nearlist.tsx";

interface ItemChooserProps {
  readonly label: string;
  readonly items: readonly Feature[];
  readonly value: string | undefined; // id
  readonly pick: (id: string) => void; // "" for none
  readonly none?: string; // what none of them is called; without it one is always chosen
  readonly at?: (Place & { readonly accuracyM: number }) | undefined; // of what is being recorded, if not where the phone is
}

export function ItemChooser({ label, items, value, pick, none = "None chosen", at }: ItemChooserProps) {
  const [open, setOpen] = useState(false);
  const button = useRef<HTMLButtonElement>(null);
  const whole = useRef<HTMLFieldSetElement>(null);
  const was = useRef(false);
  useEffect(() => {
    if (open) whole.current?.scrollIntoView({ block: "start" }); // the list, and not the few pixels that are left below
    if (was.current && !open) button.current?.focus(); // what was pressed is gone: a keyboard goes on from here
    was.current = open;
  }, [open]);
  const fix = useApp().state.fix ?? undefined;
  const here = at ?? fix;
  const chosen = items.find((f) => f.id === value);
  const choose = (id: string) => {
    setOpen(false);
    pick(id);
  };
  return (
    <fieldset ref={whole} class="choice chooser">
      <legend>{label}</legend>
      {!open ? (
        <button ref={button} type="button" class="b-plain entry" aria-expanded={false} onClick={() => setOpen(true)}>
          {chosen ? (
            <>
              <ItemMark of={chosen} />
              <span class="word">
                <span class="name">{nameOf(chosen, items)}</span>
                {here && <span class="soft">{awayWords(awayOf(chosen, here), here.accuracyM) || "no position"}</span>}
              </span>
            </>
          ) : (
            <span class="word">{none}</span>
          )}
        </button>
      ) : (
        <>
          <Button wide pressed={!chosen} press={() => choose("")}>
            {none}
          </Button>
          <NearList items={items} label={label} chosen={value ?? null} pick={(f) => choose(f.id)} at={at} />
        </>
      )}
    </fieldset>
  );
}
