// The mark of a kind by its name, and of an item.

import { kindNamed } from "../app/kinds.ts";
import { isPhoto } from "../app/names.ts";
import { kindOf, type Feature } from "../entry.ts";
import { Mark } from "./part.tsx";
import { cameraPath } from "./sign.tsx";

export function KindMark({ kind }: { kind: string }) {
  const row = kindNamed(kind);
  return <Mark path={row.mark} colour={row.colour} />;
}

/** A photo is recorded as a visit, and shown as what it is. */
export function ItemMark({ of }: { of: Feature }) {
  return isPhoto(of) ? <Mark path={cameraPath} colour={kindNamed("photo-point").colour} /> : <KindMark kind={kindOf(of)} />;
}
