// The first load of a property onto the phone, and how far it has come.

import type { Params } from "../app/screens.ts";
import { useApp } from "../app/shell.tsx";
import { keptWords } from "../app/storage.ts";
import { OpensOffline } from "../worker/opens.tsx";
import { calledProperty } from "../app/property.ts";
import { useField } from "../field.ts";
import { itemsWords } from "../place/nearest.ts";
import { Button } from "../kit/button.tsx";
import { Frame } from "../kit/frame.tsx";
import { Caution } from "../kit/part.tsx";
import { isLoaded, Loading } from "./propertylist.tsx";

export function Load(_: { params: Params }) {
  const field = useField();
  const { state } = useApp();
  const { link } = state;
  const done = isLoaded(link);
  const silent = !done && !link?.loading && (link?.state === "no-answer" || link?.state === "never" || link?.state === "refused");
  return (
    <Frame
      title={calledProperty(field.property)}
      back={() => field.go("#/")}
      actions={<Button rank="main" wide press={() => field.go("#/")}>{done ? "Start" : silent ? "Start without it" : "Start while it loads"}</Button>}
    >
      <h2>{done ? "The property is on this phone" : silent ? "No signal: the property is not all on this phone yet" : "Loading the property"}</h2>
      {!done && !link?.loading && <p class="soft">{link?.words}</p>}
      <Loading link={link} />
      {state.storage && state.storage.kept !== true && <Caution>{keptWords(state.storage.kept)} Putting this page on the home screen usually makes it promise.</Caution>}
      <div class="stack">
        {state.featuresRead && (field.features.length > 0 || done) && <p><b>{itemsWords(field.features)}</b> of the property{done ? "" : " so far"}.</p>}
      </div>
      {done && <OpensOffline />}
    </Frame>
  );
}
