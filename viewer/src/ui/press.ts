// Nothing moves or is replaced under a finger. A figure that came between the finger's touch and its click could
// push a button from under it, or put a new one in its place, and the browser would then give the click to nobody.
// So what a page has to draw while something is pressed waits until the press has had its click.

import { options } from "preact";

const slopPx = 15; // moved farther, a finger drags or scrolls, and gives no click
const longestMS = 3_000; // a page does not wait for ever for a finger whose lifting it never hears of
const clickMS = 400; // nor for a click that does not come once it is lifted

let place: { readonly x: number; readonly y: number } | null = null; // of what is pressed
let ending: ReturnType<typeof setTimeout> | undefined;
const waiting = new Set<() => void>();

/** Draws now or, while something is pressed, right after. */
export function afterPress(draw: () => void): void {
  if (place) waiting.add(draw);
  else draw();
}

function end(): void {
  place = null;
  clearTimeout(ending);
  const draws = [...waiting];
  waiting.clear();
  for (const draw of draws) draw();
}

function endIn(ms: number): void {
  clearTimeout(ending);
  ending = setTimeout(end, ms);
}

/** From now on components of this page are drawn after presses. */
export function drawAfterPresses(page: EventTarget = window): void {
  const on = (name: string, heard: (e: PointerEvent) => void) =>
    page.addEventListener(name, (e) => heard(e as PointerEvent), { capture: true, passive: true });
  on("pointerdown", (e) => {
    if (!e.isPrimary || e.button !== 0) return end(); // a second finger
    place = { x: e.clientX, y: e.clientY };
    endIn(longestMS);
  });
  on("pointermove", (e) => {
    if (place && Math.hypot(e.clientX - place.x, e.clientY - place.y) > slopPx) end();
  });
  on("pointerup", () => place && endIn(clickMS));
  on("pointercancel", end);
  on("click", () => place && endIn(0)); // should somebody keep it from going on to the window
  page.addEventListener("click", end); // where it comes when all others have heard it
  options.debounceRendering = (draw) => afterPress(() => queueMicrotask(draw));
}
