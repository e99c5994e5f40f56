// The first load of a property onto the phone, and how far it has come.

import type { Params } from "../app/screens.ts";
import { useApp } from "../app/shell.tsx";
import { count } from "../app/words.ts";
import { useField } from "../field.ts";
import { Button } from "../kit/button.tsx";
import { Frame } from "../kit/frame.tsx";

export function Load(_: { params: Params }) {
  const field = useField();
  const { state } = useApp();
  const done = state.link?.state === "quiet";
  return (
    <Frame
      title={field.property.name}
      back={() => field.go("#/")}
      actions={<Button rank="main" wide press={() => field.go("#/")}>{done ? "Start" : "Start while it loads"}</Button>}
    >
      <h2>{done ? "The property is on this phone" : "Loading the property"}</h2>
      {!done && <progress class="wide" aria-label="Loading the property" />}
      <p><b>{count(field.features.length, "thing", "things")}</b>, from {count(state.tally?.entries ?? 0, "entry", "entries")}.</p>
      <p class="soft">{state.link?.words}</p>
    </Frame>
  );
}
