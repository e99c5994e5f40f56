// A long section drawn as wide as its screen.

import { useEffect, useRef, useState } from "preact/hooks";
import { canDraw, draw } from "./draw.ts";
import { Profile } from "./profile.tsx";
import type { Section } from "./section.ts";

export function Drawing({ section, name, selected = null }: { section: Section; name: string; selected?: string | null }) {
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
  return (
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
  );
}
