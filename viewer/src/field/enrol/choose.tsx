// The properties on this phone, the nearest first where the phone knows where it is: what of
// each is not sent yet, and which one is open.

import { useApp } from "../context/app.ts";
import { type Params, useField } from "../context/field.ts";
import { Frame } from "../../ui/frame.tsx";
import { isLoaded, Loading, PropertyList, useRows } from "./propertylist.tsx";
import type { Ranked } from "./ranked.ts";

export function ChooseProperty(_: { params: Params }) {
  const field = useField();
  const { state, tell } = useApp();
  const rows = useRows();
  const open = ({ property }: Ranked) => {
    tell({ do: "property", property });
    field.go(property.id === field.property.id ? "#/" : "#/load");
  };
  return (
    <Frame
      title="Properties"
      actions={
        <div class="row">
          <a class="button" href="#/enrol">
            Add by a code
          </a>
          <a class="button main" href="#/property/new">
            Begin a property here
          </a>
        </div>
      }
    >
      <p class="soft" role="status">
        {isLoaded(state.sync) ? "All of these are on this phone." : state.sync?.loading ? "Loading onto this phone" : state.sync?.words}
      </p>
      <Loading sync={state.sync} />
      <PropertyList rows={rows} open={open} isOpen={({ property }) => property.id === field.property.id} />
      <p class="soft">What is not sent is sent for every property, whichever is open.</p>
    </Frame>
  );
}
