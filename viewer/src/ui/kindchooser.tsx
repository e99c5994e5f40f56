// The kinds to choose from, by group, each at its place whichever was used last: the thumb
// learns where it is.

import { alsoCalled, grouped } from "../base/kindgroups.ts";
import type { Kind } from "../base/kinds.ts";
import { Button } from "./button.tsx";
import { KindMark } from "./icon.tsx";

export function KindChooser({ kinds, label, choose }: { kinds: readonly Kind[]; label: string; choose: (kind: Kind) => void }) {
  return (
    <div class="kindgroups" role="group" aria-label={label}>
      {grouped(kinds).map(({ title, kinds: of }) => (
        <section key={title}>
          <h2>{title}</h2>
          <div class="kinds">
            {of.map((kind) => (
              <Button key={kind.name} press={() => choose(kind)}>
                <KindMark kind={kind.name} />
                {kind.label}
                {alsoCalled[kind.name] && <span class="also">{alsoCalled[kind.name]}</span>}
              </Button>
            ))}
          </div>
        </section>
      ))}
    </div>
  );
}
