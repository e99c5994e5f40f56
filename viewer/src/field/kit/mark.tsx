// The mark of a kind by its name.

import { kindNamed } from "../app/kinds.ts";
import { Mark } from "./part.tsx";

export function KindMark({ kind }: { kind: string }) {
  const row = kindNamed(kind);
  return <Mark path={row.mark} colour={row.colour} />;
}
