// The mark of a kind by its name, and of an item.

import type { ComponentChildren } from "preact";
import { kindNamed } from "../base/kinds.ts";
import { isPhoto } from "../base/names.ts";
import { kindOf, type Feature } from "../base/entry.ts";
import { Mark } from "./panel.tsx";

export function KindMark({ kind }: { kind: string }) {
  const row = kindNamed(kind);
  return <Mark path={row.mark} colour={row.colour} />;
}

/** A photo is recorded as a visit, and shown as what it is. */
export function ItemMark({ of }: { of: Feature }) {
  return isPhoto(of) ? <Mark path={cameraPath} colour={kindNamed("photo-point").colour} /> : <KindMark kind={kindOf(of)} />;
}

/** An item in a list, which leads to one of its screens. children stand below its name. */
export function ItemLink({ to, of, name, children }: { to: string; of?: Feature; name: string; children: ComponentChildren }) {
  return (
    <a href={to}>
      {of && <ItemMark of={of} />}
      <span class="word">
        <span class="name">{name}</span>
        {children}
      </span>
    </a>
  );
}

/** A path in a 24 by 24 box. */
export function Icon({ path }: { path: string }) {
  return (
    <svg class="sign" viewBox="0 0 24 24" aria-hidden="true">
      <path d={path} />
    </svg>
  );
}

export const cameraPath = "M3 8h5l2-3h4l2 3h5v11H3zM9 13a3 3 0 1 0 6 0 3 3 0 1 0-6 0";
