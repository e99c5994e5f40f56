// A page of the officer's device for tests: the shipped page with the shipped store, in a
// document of Node. What it is asked is what a person can see or press there. How it looks,
// viewer/fieldtest and viewer/desktest try in a browser.

import assert from "node:assert/strict";
import { Window } from "happy-dom";
import { type ComponentChild, options, render } from "preact";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import type { Entry, Feature, Fields } from "../base/entry.ts";
import { notHere } from "../compute/model.ts";
import type { BaseChange } from "../compute/named.ts";
import type { Outcome, PlanRequest } from "../compute/plan.ts";
import type { CrossSection, LongSection, Sheet } from "../compute/sheets.ts";
import { canvasKinds, Drawn, Path2D, withCanvases } from "../map/canvas.test.ts";
import { receiver } from "../sensor/receiver.ts";
import { install } from "../serviceworker/install.ts";
import { onPhone, type Phone, property, self } from "../storage/phone.test.ts";
import type { Draft, Self } from "../storage/store.ts";
import { type Server, socketOf } from "../sync/server.test.ts";
import { openSync } from "../sync/sync.ts";
import type { Dependencies } from "../field/context/dependencies.ts";
import { nameOf, wordsOf } from "./spoken.test.ts";

/** A phone out of reach: every call to the server ends at once. */
class NoSignal extends EventTarget {
  onclose: ((event: object) => void) | null = null;
  onerror: ((event: object) => void) | null = null;
  readyState = 3;
  constructor() {
    super();
    queueMicrotask(() => this.onclose?.({ code: 1006 }));
  }
  send() {}
  close() {}
}

const patienceMS = 60_000; // of the page's clock
const frameMS = 20;

interface Given {
  /** What the server has told before the page opens: what each feature's fields are, by its id. */
  readonly features?: { readonly [id: string]: Fields };
  readonly address?: string;
  /** Who records; null before enrolment. */
  readonly self?: Self | null;
  /** How much the browser lets the page store. */
  readonly quotaBytes?: number;
  /** The address is not one that a browser trusts. */
  readonly insecure?: boolean;
  /** The server, within reach. */
  readonly server?: Server;
  /** What answers the page's calls of the server; nothing does by itself. */
  readonly fetch?: Page["fetch"];
  /** What else is on the phone before the page opens. */
  readonly before?: (page: Page) => Promise<unknown>;
  /** What the computations answer, by name; those that are not named are not on the phone yet. */
  readonly answers?: { readonly [name: string]: (input: never) => unknown };
  readonly sheet?: (feature: string) => Sheet | undefined;
  readonly sections?: readonly LongSection[];
  readonly across?: readonly CrossSection[];
  readonly plan?: (request: PlanRequest, today?: string) => Outcome;
  readonly changed?: { readonly [plan: string]: readonly BaseChange[] };
}

type Boot = (root: HTMLElement, dependencies: Dependencies) => void;

export class Page {
  readonly #phone: Phone | undefined;
  readonly #fixes = new Set<(position: GeolocationPosition) => void>();
  readonly clock = new Clock();
  canvas = new Drawn();
  /** What opened the phone's camera or gallery last. */
  chooser: HTMLInputElement | undefined;
  /** Names of the files that were given to the phone's downloads. */
  readonly downloads: string[] = [];
  fetch: (address: string, init?: RequestInit) => Promise<Response> = async () => {
    throw new TypeError("no signal");
  };

  constructor(
    phone: Phone | undefined,
    readonly window: Window,
  ) {
    this.#phone = phone;
  }

  get phone(): Phone {
    return this.#phone!;
  }

  get #document(): Document {
    return this.window.document as unknown as Document;
  }

  /** What the page finds of the phone itself: no signal, and a receiver that gives what a test lets it. */
  readonly navigator = {
    ...(globalThis.navigator as Navigator | undefined), // of the phone: its storage
    onLine: false,
    geolocation: {
      watchPosition: (each: (position: GeolocationPosition) => void) => {
        this.#fixes.add(each);
        return 1;
      },
      clearWatch: () => this.#fixes.clear(),
    },
  };

  /** The receiver gives a position. */
  async stand(longitude: number, latitude: number, accuracy: number, altitude: number | null = null): Promise<void> {
    const coords = { longitude, latitude, accuracy, altitude, altitudeAccuracy: null, heading: null, speed: null };
    for (const each of this.#fixes) each({ coords, timestamp: this.clock.nowMS } as unknown as GeolocationPosition);
    await this.rest();
  }

  get address(): string {
    return this.window.location.hash;
  }

  /** Gives the phone a camera that may be used once it is allowed; what of it runs is in what is returned. */
  withCamera(allowed: Promise<unknown> = Promise.resolve(), widthPx = 1600): ReadonlySet<object> {
    const running = new Set<object>();
    const track = { stop: () => running.delete(track) };
    const getUserMedia = async () => {
      await allowed;
      running.add(track);
      return { getTracks: () => [track] };
    };
    Object.assign(this.navigator, { mediaDevices: { getUserMedia } });
    const video = { play: async () => {}, srcObject: null, videoWidth: widthPx, videoHeight: (widthPx * 3) / 4 };
    for (const [name, value] of Object.entries(video))
      Object.defineProperty(this.window.HTMLVideoElement.prototype, name, { value, configurable: true, writable: true });
    return running;
  }

  /** Draws another part in the place of what is there. */
  async draw(part: ComponentChild): Promise<void> {
    render(part, this.#document.getElementById("page")!);
    await this.rest();
  }

  /** Lets everything be done and drawn that comes at once. */
  rest(): Promise<void> {
    return this.clock.pass(frameMS);
  }

  /** Opens an address, and waits for its heading. */
  async go(address: string, heading?: string): Promise<void> {
    this.window.location.hash = address;
    await this.rest();
    if (heading !== undefined) await this.shows(() => this.heading === heading, heading);
  }

  /** A finger goes down on the map, moves, and goes up; in pixels from the middle of the map. */
  async touchMap(from: readonly [number, number], to = from): Promise<void> {
    const map = this.#document.querySelector(".ol-viewport")!;
    const touch = (kind: string, [x, y]: readonly [number, number]) => {
      const event = new this.window.PointerEvent(kind, {
        clientX: 195 + x,
        clientY: 320 + y,
        pointerId: 1,
        isPrimary: true,
        bubbles: true,
      });
      map.dispatchEvent(event as unknown as Event);
    };
    touch("pointerdown", from);
    if (to !== from)
      for (const share of [0.5, 1]) touch("pointermove", [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share]);
    touch("pointerup", to);
    await this.clock.pass(500); // it may mean a double tap, and the map may glide
  }

  /** The page goes out of sight, or comes back. */
  async seen(visible: boolean): Promise<void> {
    Object.defineProperty(this.#document, "visibilityState", { value: visible ? "visible" : "hidden", configurable: true });
    this.#document.dispatchEvent(new this.window.Event("visibilitychange") as unknown as Event);
    await this.rest();
  }

  get heading(): string {
    return wordsOf(this.#document.querySelector("h1"));
  }

  /** All words on the page, as they are read. */
  get words(): string {
    return wordsOf(this.#document.getElementById("page"));
  }

  /** Waits until the words stand on the page. */
  async reads(...words: readonly string[]): Promise<void> {
    for (const one of words) await this.shows(() => this.words.includes(one), one);
  }

  /** Waits until something is so; if it never comes, what the page reads is told. */
  async shows(so: () => boolean | Promise<boolean>, what: string): Promise<void> {
    const untilMS = this.clock.nowMS + patienceMS;
    await this.clock.settle();
    while (!(await so())) if (!(await this.clock.next(untilMS))) assert.fail(`the page never shows: ${what}\nIt reads: ${this.words}`);
    this.isWhole();
  }

  /** No part of the page is there with nothing in it, and none reads what a value is that is missing. */
  isWhole(): void {
    for (const part of this.#all(parts)) {
      if (part.closest("[role=status], [aria-hidden=true]")) continue;
      if (
        !/[^ \n]/.test(part.textContent!) &&
        !part.querySelector("img, svg, video, canvas, input, [role=img]") &&
        !part.getAttribute("aria-label")
      )
        assert.fail(
          `there is an empty part: ${part.outerHTML} in ${part.parentElement?.outerHTML.slice(0, 300)}\nThe page reads: ${this.words}`,
        );
    }
    this.#hangsTogether();
    const odd = /undefined|NaN|\[object|\bnull\b|\bfalse\b|Infinity/.exec(this.words);
    if (odd) assert.fail(`the page reads ${odd[0]}: ${this.words}`);
  }

  /** What points at another part of the page finds it, one of a few is chosen at most, and drawings have numbers. */
  #hangsTogether(): void {
    const ids = new Set<string>();
    for (const { id } of this.find("[id]")) {
      assert.ok(id === "" || !ids.has(id), `several parts are called ${id}`);
      ids.add(id);
    }
    for (const name of ["for", "aria-labelledby", "aria-describedby", "aria-controls"])
      for (const part of this.find(`[${name}]`))
        for (const to of part.getAttribute(name)!.split(" "))
          assert.ok(ids.has(to), `${name} of ${part.outerHTML.slice(0, 300)} leads nowhere`);
    for (const input of this.find("[required], [aria-invalid=true]")) {
      const label = this.find(`label[for="${input.id}"]`)[0]?.textContent ?? "";
      assert.ok(!input.hasAttribute("required") || !label.includes("(if known)"), `${label} is required`);
      assert.ok(input.getAttribute("aria-invalid") !== "true" || input.getAttribute("aria-describedby"), `why ${label} is wrong`);
    }
    for (const group of this.find("fieldset.choice"))
      assert.ok(group.querySelectorAll("[aria-pressed=true]").length < 2, `several are chosen: ${wordsOf(group)}`);
    for (const drawn of this.find("svg *, [style]"))
      for (const { name, value } of [...drawn.attributes])
        assert.ok(!/NaN|undefined|Infinity|null/.test(value), `${name} of a drawing is ${value}: ${drawn.outerHTML.slice(0, 300)}`);
  }

  /** The names of what can be pressed: buttons that act, and links. */
  get presses(): string[] {
    return this.#all("button, a[href], summary")
      .filter((e) => !(e as HTMLButtonElement).disabled)
      .map(nameOf);
  }

  /** Where a link leads. */
  leads(name: string): string | null {
    return this.#one("a[href]", name).getAttribute("href");
  }

  /** Whether a button that stays pressed is pressed. */
  isPressed(name: string, within?: string): boolean {
    return this.#one("button", name, within).getAttribute("aria-pressed") === "true";
  }

  isDisabled(name: string): boolean {
    return (this.#one("button", name) as HTMLButtonElement).disabled;
  }

  /** Presses a button or a link, as soon as it is there. */
  async press(name: string, within?: string): Promise<void> {
    await this.shows(() => this.#named("button, a[href], summary", name, within).length > 0, `to press: ${name}`);
    const found = this.#one("button, a[href], summary", name, within);
    assert.ok(!(found as HTMLButtonElement).disabled, `${name} is there, and does not act`);
    found.click();
    const to = found.getAttribute("href");
    if (to?.startsWith("#")) await this.go(to);
    else await this.rest();
  }

  /** Types into the field of a label, in place of what stands there. */
  async type(label: string, text: string): Promise<void> {
    await this.shows(() => this.#named("input, textarea, select", label).length > 0, `to type in: ${label}`);
    this.enter(this.#one("input, textarea, select", label), text);
    await this.rest();
  }

  enter(input: Element, text: string): void {
    (input as HTMLInputElement).value = text;
    for (const kind of ["input", "change"]) input.dispatchEvent(new this.window.Event(kind, { bubbles: true }) as unknown as Event);
  }

  /** The labels of what can be typed in. */
  get inputs(): string[] {
    return this.#all("input, textarea, select").map(nameOf);
  }

  /** What stands in the field of a label. */
  typed(label: string): string {
    return (this.#one("input, textarea, select", label) as HTMLInputElement).value;
  }

  /** What is said to be wrong with the field of a label. */
  wrongWith(label: string): string {
    const input = this.#one("input, textarea", label);
    if (input.getAttribute("aria-invalid") !== "true") return "";
    return (input.getAttribute("aria-describedby") ?? "")
      .split(" ")
      .map((id) => wordsOf(this.#document.getElementById(id)))
      .join(" ");
  }

  /** What the page lists of facts, by their labels. */
  get facts(): { [label: string]: string } {
    return Object.fromEntries(this.#all("dt").map((dt) => [wordsOf(dt), wordsOf(dt.nextElementSibling)]));
  }

  /** The lines of a list or a table that has this name. */
  lines(name: string): string[] {
    return [...this.#one("ul, ol, table", name).querySelectorAll("li, tbody tr")].map(wordsOf);
  }

  /** What the page says by itself to those who do not look. */
  get told(): string[] {
    return this.#all("[role=alert], [role=status]").map(wordsOf).filter(Boolean);
  }

  /** What the drawings on the page are called. */
  get images(): string[] {
    return this.find("[role=img]").map(nameOf);
  }

  /** Parts of a drawing: what a line of it says is in no words. */
  find(selector: string): Element[] {
    return [...this.#document.querySelectorAll(selector)];
  }

  /** Everything that was recorded about a feature here, oldest first. */
  async entries(feature: string): Promise<Entry[]> {
    return (await this.phone.store.history(feature)).map((r) => r.entry);
  }

  /** The features of a kind as they stand in the store. */
  async kept(kind: string): Promise<Feature[]> {
    return (await this.phone.store.features(property)).filter((f) => f.fields["kind"] === kind);
  }

  #all(selector: string): HTMLElement[] {
    return [...this.#document.querySelectorAll<HTMLElement>(selector)].filter((e) => !e.closest("[hidden]"));
  }

  #named(selector: string, name: string, within?: string): HTMLElement[] {
    return this.#all(selector).filter(
      (e) => nameOf(e) === name && (within === undefined || nameOf(e.closest("fieldset, section, [role=group], li")) === within),
    );
  }

  #one(selector: string, name: string, within?: string): HTMLElement {
    const found = this.#named(selector, name, within);
    if (found.length !== 1)
      assert.fail(
        `${found.length} of ${selector} are called ${JSON.stringify(name)}; there are: ${this.#all(selector).map(nameOf).join(" | ")}`,
      );
    return found[0]!;
  }
}

/** Parts of a page that say something; those that keep room for words that come and go are not among them. */
const parts =
  "p:not(.next, .level, .checked, .held), span.soft:not(.step), dl, dt, dd, ul, ol, li, h1, h2, h3, fieldset, section, summary, button, a[href], b, .caution";

/** What scripts find of a window under names of their own. */
const globalsOf = (window: Window) =>
  Object.fromEntries(
    [
      ...["window", "document", "location", "history", "getComputedStyle"],
      ...["addEventListener", "removeEventListener", "dispatchEvent", "matchMedia", "scrollTo"],
      ...["HashChangeEvent", "HTMLElement", "Element", "Node", "ResizeObserver", "MutationObserver", "IntersectionObserver"],
      ...[
        "HTMLInputElement",
        "HTMLCanvasElement",
        "HTMLImageElement",
        "HTMLVideoElement",
        "Image",
        "ShadowRoot",
        "PointerEvent",
        "devicePixelRatio",
      ],
    ].map((name) => {
      const value = name === "window" ? window : (window as unknown as { [name: string]: unknown })[name];
      return [name, typeof value === "function" && !/^[A-Z]/.test(name) ? value.bind(window) : value];
    }),
  );

/** What a page calls that reaches beyond it. */
const called = (page: Page) => ({
  fetch: (address: string, init?: RequestInit) => page.clock.meanwhile(page.fetch(address, init)),
  isSecureContext: true,
});

/** Opens a window with the page's element in it, and ends it whole: what it set off, it takes with it. */
async function inWindow(address: string, phone: Phone | undefined, job: (page: Page, root: HTMLElement) => Promise<void>): Promise<void> {
  const window = new Window({ url: `https://headcut.invalid${address}`, settings: { disableErrorCapturing: true } });
  const page = new Page(phone, window);
  const { clock } = page;
  page.canvas = withCanvases(window);
  const { setTimeout, clearTimeout, setInterval, clearInterval, requestAnimationFrame, cancelAnimationFrame } = clock.globals;
  Object.assign(window, { setTimeout, clearTimeout, setInterval, clearInterval, requestAnimationFrame, cancelAnimationFrame });
  window.document.body.innerHTML = `<div id="page"></div>`;
  const root = window.document.getElementById("page") as unknown as HTMLElement;
  (window.document as unknown as Document).addEventListener("click", (event) => {
    if ((event.target as HTMLInputElement).type === "file") page.chooser = event.target as HTMLInputElement;
    const name = (event.target as Element).getAttribute("download");
    if (name === null) return;
    page.downloads.push(name);
    event.preventDefault();
  });
  await withGlobals(
    { ...globalsOf(window), ...clock.globals, navigator: page.navigator, ...called(page), WebSocket: NoSignal, Path2D, ...canvasKinds },
    async () => {
      Object.assign(options, { requestAnimationFrame: (run: () => void) => setImmediate(run) }); // effects follow a drawing at once
      try {
        await job(page, root);
        page.isWhole();
      } finally {
        render(null, root); // screens save what is left when they are left
        await clock.pass(1000);
        phone?.close();
        await clock.end();
        await window.happyDOM.abort();
      }
    },
  );
}

/** Draws a part of a page that needs nothing of the phone. */
export const drawn = (part: ComponentChild, job: (page: Page) => Promise<void>): Promise<void> =>
  inWindow("/", undefined, async (page, root) => {
    render(part, root);
    await page.rest();
    await job(page);
  });

/** Boots a page on a phone that is enrolled and has these features, and runs a test on it. */
export function onPage(boot: Boot, given: Given, job: (page: Page) => Promise<void>): Promise<void> {
  return onPhone((phone) =>
    inWindow(`/field/${given.address ?? "#/"}`, phone, async (page, root) => {
      phone.quotaBytes = given.quotaBytes ?? 31 << 20; // too little for a store to reserve five megabytes, which takes longer than a test
      const store = await phone.open();
      if (given.self !== null) await store.enrol(given.self ?? self("d1"));
      const drafts: Draft[] = Object.entries(given.features ?? {}).map(([feature, set]) => ({ feature, set }));
      if (drafts.length > 0) await store.capture(property, drafts);
      await given.before?.(page);
      if (given.fetch) page.fetch = given.fetch;
      Object.assign(globalThis, { isSecureContext: !given.insecure, ...(given.server && { WebSocket: socketOf(given.server) }) });
      const dependencies: Dependencies = {
        openStore: async () => phone.store,
        sync: openSync,
        install,
        model: {
          compute: async <T>(name: string, input: unknown) => {
            const answer = given.answers?.[name];
            if (!answer) throw notHere();
            return answer(input as never) as T;
          },
          ready: async () => undefined,
        },
        sheets: {
          of: async (_, __, id) => given.sheet?.(id),
          sections: async () => given.sections ?? [],
          across: async () => given.across ?? [],
        },
        plans: {
          plan: async (_, __, request, today) => given.plan?.(request, today) ?? Promise.reject(notHere()),
          changed: async () => given.changed ?? {},
          order: async () => Promise.reject(notHere()),
          followUp: async () => Promise.reject(notHere()),
        },
        fixes: receiver(),
      };
      boot(root, dependencies);
      await page.rest();
      await job(page);
    }),
  );
}
