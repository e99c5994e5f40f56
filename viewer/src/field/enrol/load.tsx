// The first load of a property onto the phone, and how far it has come.

import type { Params } from "../app/screens.ts";
import { useApp } from "../app/shell.tsx";
import { keptWords } from "../app/storage.ts";
import { OpensOffline } from "../worker/opens.tsx";
import { count } from "../app/words.ts";
import { calledProperty } from "../app/property.ts";
import { useField } from "../field.ts";
import { itemsWords } from "../place/nearest.ts";
import { Button } from "../kit/button.tsx";
import { Frame } from "../kit/frame.tsx";
import { Caution, Progress } from "../kit/part.tsx";

export function Load(_: { params: Params }) {
  const field = useField();
  const { state } = useApp();
  const loading = state.link?.loading ?? null;
  const done = state.link?.state === "quiet" && !loading;
  return (
    <Frame
      title={calledProperty(field.property)}
      back={() => field.go("#/")}
      actions={<Button rank="main" wide press={() => field.go("#/")}>{done ? "Start" : "Start while it loads"}</Button>}
    >
      <h2>{done ? "The property is on this phone" : "Loading the property"}</h2>
      {!done && !loading && <p class="soft">{state.link?.words}</p>}
      {loading && !loading.photos && <Progress label="Entries" done={loading.entries} of={loading.ofEntries ?? undefined} />}
      {loading?.photos && <Progress label="Small photos" done={loading.photos.got} of={loading.photos.of} />}
      {state.storage && state.storage.kept !== true && <Caution>{keptWords(state.storage.kept)} Putting this page on the home screen usually makes it promise.</Caution>}
      <div class="stack">
        {state.tally !== null && state.tally.entries > 0 && <p>{state.featuresRead && field.features.length > 0 && <><b>{itemsWords(field.features)}</b> of the property {done ? "" : "so far"}, from </>}{count(state.tally.entries, "entry", "entries")}{!done && !field.features.length && " so far"}.</p>}
      </div>
      {done && <OpensOffline />}
    </Frame>
  );
}
