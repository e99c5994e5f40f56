// The first load of a property onto the phone, and how far it has come.

import { useApp } from "../context/app.ts";
import { OpensOffline } from "../part/opensoffline.tsx";
import { calledProperty } from "../../storage/chosenproperty.ts";
import { type Params, useField } from "../context/field.ts";
import { itemsWords } from "../../base/nearest.ts";
import { Button } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { isLoaded, Loading, NotPromised } from "./propertylist.tsx";

export function Load(_: { params: Params }) {
  const field = useField();
  const { state } = useApp();
  const { sync } = state;
  const done = isLoaded(sync);
  const silent = !done && !sync?.loading && (sync?.state === "no-answer" || sync?.state === "never" || sync?.state === "refused");
  return (
    <Frame
      title={calledProperty(field.property)}
      back={() => field.go("#/")}
      actions={
        <Button rank="main" wide press={() => field.go("#/")}>
          {done ? "Start" : silent ? "Start without it" : "Start while it loads"}
        </Button>
      }
    >
      <h2>
        {done ? "The property is on this phone" : silent ? "No signal: the property is not all on this phone yet" : "Loading the property"}
      </h2>
      {!done && !sync?.loading && <p class="soft">{sync?.words}</p>}
      <Loading sync={sync} />
      <NotPromised />
      <div class="stack">
        {state.featuresRead && (field.features.length > 0 || done) && (
          <p>
            <b>{itemsWords(field.features)}</b> of the property{done ? "" : " so far"}.
          </p>
        )}
      </div>
      {done && <OpensOffline />}
    </Frame>
  );
}
