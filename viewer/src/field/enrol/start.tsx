// The first screen of a phone that was enrolled for several properties: what is on it, whether
// it works with no signal, and on which one to start.

import { useApp } from "../context/app.ts";
import { type Params, useField } from "../context/field.ts";
import { Frame } from "../../ui/frame.tsx";
import { OpensOffline } from "../part/opensoffline.tsx";
import { isLoaded, Loading, NotPromised, PropertyList, useRows } from "./propertylist.tsx";
import type { Ranked } from "./ranked.ts";

export function Start(_: { params: Params }) {
  const field = useField();
  const { state, tell } = useApp();
  const { sync } = state;
  const rows = useRows();
  const done = isLoaded(sync);
  const open = ({ property }: Ranked) => {
    tell({ do: "property", property });
    field.go("#/");
  };
  return (
    <Frame title="Properties" back={() => field.go("#/")}>
      <h2>{done ? `All ${rows.length} are on this phone` : sync?.loading ? "Loading onto this phone" : "Not all on this phone yet"}</h2>
      {!done && !sync?.loading && <p class="soft">{sync?.words}</p>}
      <Loading sync={sync} />
      <h2>Start on</h2>
      <PropertyList rows={rows} open={open} />
      <NotPromised />
      {done && <OpensOffline />}
    </Frame>
  );
}
