// The way back through the screens of this page. Every address that is gone to remembers
// how many of the page's own lie behind it, so that going back never leaves the page.

interface Stood {
  readonly behind: number;
  readonly done?: boolean; // what was chosen for behind it is saved
}

/** Screens on which it is chosen what to record: nobody goes back to one for what is saved. */
const choosers: ReadonlySet<string> = new Set(["#/line", "#/mark"]);
const first = "#/";

export class ScreenHistory {
  private at: Stood;

  constructor() {
    this.at = stood() ?? mark(0);
  }

  /** Takes up an address that was gone to, forward or back; false where it only leads on. */
  gone(): boolean {
    const before = this.at;
    this.at = stood() ?? mark(before.behind + 1);
    if (!before.done || this.at.behind >= before.behind || !choosers.has(location.hash)) return true;
    this.back();
    return false;
  }

  back(): void {
    if (this.at.behind > 0) history.back();
    else if (location.hash !== first) goInPlace(first);
  }
}

function mark(behind: number): Stood {
  const here: Stood = { behind };
  history.replaceState(here, "");
  return here;
}

/** Goes to an address in place of the present one; done when that has been saved. */
export function goInPlace(address: string, done = stood()?.done ?? false): void {
  history.replaceState({ ...history.state, ...(done && { done }) }, "", address);
  dispatchEvent(new HashChangeEvent("hashchange"));
}

function stood(): Stood | undefined {
  const state = history.state as Partial<Stood> | null;
  return typeof state?.behind === "number" ? { behind: state.behind, ...(state.done && { done: true }) } : undefined;
}
