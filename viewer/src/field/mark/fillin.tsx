// The form of a line or an area that was just saved, part by part where one recording was split.

import { kindNamed } from "../app/kinds.ts";
import { goInPlace } from "../app/way.ts";
import { kindOf } from "../entry.ts";
import { useField, type Params } from "../field.ts";
import { Gone } from "../thing/gone.tsx";
import { Fill } from "./fill.tsx";
import { partOf } from "./parts.ts";

/** The form of a line or an area that was just saved: its status, its day and the rest are chosen here. */
export function FillIn({ params }: { params: Params }) {
  const field = useField();
  const item = field.features.find((f) => f.id === params["id"]);
  if (!item) return <Gone />;
  const part = partOf(item.id, params["parts"]);
  return <Fill key={item.id} feature={item.id} kind={kindNamed(kindOf(item))} part={part.words} done={() => goInPlace(part.next)} />;
}
