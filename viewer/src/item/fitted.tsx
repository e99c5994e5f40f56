// A long section drawn as wide as its screen, with what its dashes and outlines mean.

import { useEffect, useRef, useState } from "preact/hooks";
import { Caution } from "../ui/panel.tsx";
import { canDraw, crestsNotLevelled, draw, isDashed, isPlanned } from "../section/draw.ts";
import { Profile } from "../section/profile.tsx";
import type { Section, SectionDam } from "../section/section.ts";

/** How large a drawing may be: as wide as its box is on the screen. */
export function usePaper() {
  const box = useRef<HTMLDivElement>(null);
  const [paper, setPaper] = useState({ widthPx: 0, fontPx: 16 });
  useEffect(() => {
    const element = box.current;
    if (!element) return;
    const measure = () =>
      setPaper({
        widthPx: Math.floor(element.clientWidth),
        fontPx: Math.min(24, (parseFloat(getComputedStyle(element).fontSize) || 18) * 0.85),
      });
    const watch = new ResizeObserver(measure);
    watch.observe(element);
    return () => watch.disconnect();
  }, []);
  return { box, paper };
}

export function Drawing({ section, name, selected = null }: { section: Section; name: string; selected?: string | null }) {
  const { box, paper } = usePaper();
  const { planned, byHand } = crestsNotLevelled(section);
  return (
    <>
      <div ref={box} class="paper">
        {!canDraw(section) ? (
          <p>One point on the bed so far. A second makes a section.</p>
        ) : (
          paper.widthPx >= 160 && (
            <Profile
              drawing={draw(section, paper)}
              name={name}
              selected={selected}
              proven={section.proven}
              along="chainage, m"
              numbers="Its levels are in the table below."
            />
          )
        )}
      </div>
      {isDashed(section) && <Caution>Drawn dashed: these levels are not yet checked by a closed level run.</Caution>}
      {planned.length > 0 && <p class="soft">Crest not levelled, drawn as high as planned: {named(planned)}.</p>}
      {byHand.length > 0 && <p class="soft">Crest not levelled, drawn as high as measured by hand: {named(byHand)}.</p>}
      {section.dams.some(isPlanned) && <p class="soft">Dams drawn in outline are planned, not built yet.</p>}
    </>
  );
}

const named = (dams: readonly SectionDam[]): string => dams.map((d) => d.name || "a dam, unnamed").join(", ");
