// The form of a line or an area that was just saved, part by part where one recording was split.

import { kindNamed } from "../../base/kinds.ts";
import { goInPlace } from "../context/history.ts";
import { kindOf } from "../../base/entry.ts";
import { useField, type Params } from "../context/field.ts";
import { NotHere } from "../part/ofitem.tsx";
import { Fill } from "./fill.tsx";
import { partOf } from "../part/splitparts.ts";

/** The form of a line or an area that was just saved: its status, its day and the rest are chosen here. */
export function FillIn({ params }: { params: Params }) {
  const field = useField();
  const item = field.features.find((f) => f.id === params["id"]);
  if (!item) return <NotHere />;
  const part = partOf(item.id, params["parts"]);
  return <Fill key={item.id} feature={item.id} kind={kindNamed(kindOf(item))} part={part.words} done={() => goInPlace(part.next)} />;
}
