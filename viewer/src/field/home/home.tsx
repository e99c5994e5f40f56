// The first screen: what was recorded today, and what to record next.

import type { Params } from "../app/screens.ts";
import { useField } from "../field.ts";

export function Home(_: { params: Params }) {
  const field = useField();
  return <h1 tabIndex={-1}>{field.property.name}</h1>;
}
