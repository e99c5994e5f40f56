// The way back through the screens, as a browser's own history answers it.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../../base/globals.test.ts";
import { goInPlace, ScreenHistory } from "./history.ts";

/** What a browser keeps of a tab: addresses that were gone to, each with what the page noted of it. */
class Tab {
  readonly #all: { hash: string; state: unknown }[];
  #at = 0;
  way!: ScreenHistory;
  /** Whether the screen of the address that was gone to last is to be shown. */
  shown = true;
  left = false;

  constructor(hash: string, state: unknown) {
    this.#all = [{ hash, state }];
  }

  get #here() {
    return this.#all[this.#at]!;
  }

  get globals() {
    const tab = this;
    return {
      location: {
        get hash() {
          return tab.#here.hash;
        },
      },
      history: {
        get state() {
          return tab.#here.state;
        },
        replaceState(state: unknown, _: string, hash = tab.#here.hash) {
          tab.#all[tab.#at] = { hash, state };
        },
        back: () => this.#back(),
      },
      HashChangeEvent: Event,
      dispatchEvent: () => this.#changed(),
    };
  }

  #changed(): void {
    this.shown = false; // it may lead on to another
    this.shown = this.way.gone() || this.shown;
  }

  #back(): void {
    if (this.#at === 0) this.left = true;
    else {
      this.#at--;
      this.#changed();
    }
  }

  go(hash: string): void {
    this.#all.splice(++this.#at, Infinity, { hash, state: null });
    this.#changed();
  }

  get hash(): string {
    return this.#here.hash;
  }
}

const inTab = (hash: string, job: (tab: Tab) => void, state: unknown = null) => {
  const tab = new Tab(hash, state);
  return withGlobals(tab.globals, () => {
    tab.way = new ScreenHistory();
    job(tab);
  });
};
const back = (tab: Tab) => {
  tab.way.back();
  return tab.hash;
};

test("the way back leads through the page's own screens, then to today, and never out of it", async () => {
  await inTab("#/thing/a", (tab) => {
    tab.go("#/thing/b");
    tab.go("#/map");
    assert.deepEqual([back(tab), back(tab), back(tab), back(tab), tab.left], ["#/thing/b", "#/thing/a", "#/", "#/", false]);
  });
  // A page that is loaded again knows how many lie behind it; what another page noted says nothing.
  await inTab("#/map", (tab) => assert.deepEqual([back(tab), tab.left], ["#/map", true]), { behind: 2 });
  await inTab("#/map", (tab) => assert.deepEqual([back(tab), tab.left], ["#/", false]), { behind: "2" });
});

test("what is saved is not chosen for again: the way back leads past where it was chosen", () =>
  inTab("#/", (tab) => {
    tab.go("#/line");
    tab.go("#/line/fence/line");
    goInPlace("#/thing/f", true);
    assert.deepEqual([tab.hash, tab.shown], ["#/thing/f", true]);
    goInPlace("#/mark");
    assert.deepEqual([tab.hash, tab.shown], ["#/mark", true], "in its place any screen opens");
    tab.go("#/line");
    assert.deepEqual([tab.hash, tab.shown], ["#/line", true], "and after it");
    assert.equal(back(tab), "#/mark");
    assert.equal(back(tab), "#/");
  }));

test("what is not saved is chosen for again, and what is no chooser is gone back to", async () => {
  await inTab("#/", (tab) => {
    tab.go("#/mark");
    tab.go("#/mark/peg");
    goInPlace("#/mark/gate");
    assert.deepEqual([back(tab), tab.shown], ["#/mark", true]);
  });
  await inTab("#/", (tab) => {
    tab.go("#/thing/a");
    tab.go("#/thing/a/edit");
    goInPlace("#/thing/b", true);
    assert.deepEqual([back(tab), tab.shown], ["#/thing/a", true]);
  });
});
