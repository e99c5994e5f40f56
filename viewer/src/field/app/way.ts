// The way back through the screens of this page. Every address that is gone to remembers
// how many of the page's own lie behind it, so that going back never leaves the page.

interface Stood {
  readonly behind: number;
}

export class Way {
  private behind: number;

  constructor() {
    this.behind = stood()?.behind ?? this.mark(0);
  }

  /** Takes up an address that was gone to, forward or back. */
  gone(): void {
    this.behind = stood()?.behind ?? this.mark(this.behind + 1);
  }

  back(first: string): void {
    if (this.behind > 0) history.back();
    else if (location.hash !== first) goInPlace(first);
  }

  private mark(behind: number): number {
    history.replaceState({ behind } satisfies Stood, "");
    return behind;
  }
}

/** Goes to an address in place of the present one. */
export function goInPlace(address: string): void {
  history.replaceState(history.state, "", address);
  dispatchEvent(new HashChangeEvent("hashchange"));
}

function stood(): Stood | undefined {
  const state = history.state as Partial<Stood> | null;
  return typeof state?.behind === "number" ? { behind: state.behind } : undefined;
}
