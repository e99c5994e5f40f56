// What is typed stays in sight: above the page's own number pad, and above the keyboard that
// the phone puts over the page.

const gapPx = 2; // less than what parts a box from the pad: scrolling never lets the pad go

/** Scrolls so that the element is seen, and with it what answers it where there is room for both. */
export function intoSight(element: HTMLElement, answer?: HTMLElement | null): void {
  const scroller = scrollerOf(element);
  if (!scroller) return;
  const seen = seenOf(scroller, element);
  const own = element.getBoundingClientRect();
  const wide = answer ? joined(own, answer.getBoundingClientRect()) : own;
  const { top, bottom } = wide.bottom - wide.top <= seen.bottom - seen.top ? wide : own;
  if (bottom > seen.bottom) scroller.scrollTop += Math.min(bottom - seen.bottom + gapPx, Math.max(0, top - seen.top));
  else if (top < seen.top) scroller.scrollTop -= seen.top - top;
}

/** Brings what is wrong first on a form into sight, once it is drawn. */
export function wrongIntoSight(): void {
  requestAnimationFrame(() =>
    document.querySelector(".sheet [data-ask], .sheet .wrong, .sheet [aria-invalid]")?.scrollIntoView({ block: "center" }),
  );
}

const joined = (a: DOMRect, b: DOMRect) => ({ top: Math.min(a.top, b.top), bottom: Math.max(a.bottom, b.bottom) });

function scrollerOf(element: HTMLElement): HTMLElement | null {
  for (let e = element.parentElement; e; e = e.parentElement) {
    if (e.scrollHeight > e.clientHeight && /auto|scroll/.test(getComputedStyle(e).overflowY)) return e;
  }
  return null;
}

/** The part of a scroller in which nothing lies over what it holds. */
function seenOf(scroller: HTMLElement, element: HTMLElement): { top: number; bottom: number } {
  const box = scroller.getBoundingClientRect();
  const pad = scroller.querySelector<HTMLElement>(".padbar");
  const covered = pad && !pad.contains(element) && getComputedStyle(pad).position === "sticky" ? pad.getBoundingClientRect().top : Infinity;
  const view = window.visualViewport;
  return {
    top: Math.max(box.top, view?.offsetTop ?? 0),
    bottom: Math.min(box.bottom, covered, view ? view.offsetTop + view.height : Infinity),
  };
}

const leastKeyboardPx = 120; // less than that is a browser's bar that comes and goes

/** Keeps the page to what the phone's keyboard leaves of the screen, and what is typed in sight. */
export function watchKeyboard(): () => void {
  const view = window.visualViewport;
  const show = () => {
    const at = document.activeElement;
    if (at instanceof HTMLElement && at.matches("input:not(.figures), textarea, select")) intoSight(at); // the boxes of the own pad look after themselves
  };
  const fit = () => {
    const up = view !== null && view.scale <= 1.01 && window.innerHeight - view.height > leastKeyboardPx;
    document.documentElement.style.setProperty("--seen", up ? `${view.height}px` : "100%");
    document.documentElement.classList.toggle("keyboard", up);
    if (up && view.offsetTop > 0) window.scrollTo(0, 0); // some browsers push the page up instead
    requestAnimationFrame(show);
  };
  const focused = () => requestAnimationFrame(show);
  view?.addEventListener("resize", fit);
  window.addEventListener("resize", fit);
  document.addEventListener("focusin", focused);
  return () => {
    view?.removeEventListener("resize", fit);
    window.removeEventListener("resize", fit);
    document.removeEventListener("focusin", focused);
  };
}
