// The shell around every screen: which one is open, the line that says what was done, and
// the status strip.

import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { FieldContext, type Field, type Params, type Screen } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { BackContext, focusHeading } from "../../ui/frame.tsx";
import { watchKeyboard } from "../../ui/insight.ts";
import { AppContext, useApp, type App } from "../context/app.ts";
import { screenAt } from "./screens.ts";
import { StatusBar } from "./statusbar.tsx";

export function Shell({ app, field }: { app: App; field: Field }) {
  const { address } = app.state;
  useEffect(watchKeyboard, []);
  useEffect(() => watchActs(() => app.tell({ do: "acted" })), [app.tell]);
  // A screen is drawn again when what it asks for has changed, not whenever anything has.
  const opened = useMemo(() => {
    const { row, params } = screenAt(address);
    return <Opened key={address} load={row.load} title={row.title} params={params} />;
  }, [address]);
  return (
    <AppContext.Provider value={app}>
      <FieldContext.Provider value={field}>
        <BackContext.Provider value={field.back}>
          <main class="screen" id="screen">
            {opened}
          </main>
          <StatusBar />
        </BackContext.Provider>
      </FieldContext.Provider>
    </AppContext.Provider>
  );
}

/** Calls back before what the officer taps or types is dealt with. */
function watchActs(acted: () => void): () => void {
  const kinds = ["click", "input"] as const;
  for (const kind of kinds) document.addEventListener(kind, acted, true);
  return () => kinds.forEach((kind) => document.removeEventListener(kind, acted, true));
}

/** The screen of an address, once its code is there. */
function Opened({ load, title, params }: { load: () => Screen | Promise<Screen>; title: string; params: Params }) {
  const [loading] = useState<Screen | Promise<Screen>>(load);
  const [{ screen, missing }, set] = useState<{ screen: Screen | null; missing: boolean }>({
    screen: loading instanceof Promise ? null : loading,
    missing: false,
  });
  useLayoutEffect(() => {
    document.title = `${title} – Headcut in the field`;
    if (!(loading instanceof Promise)) return;
    let here = true;
    loading.then(
      (loaded) => here && set({ screen: loaded, missing: false }),
      () => here && set({ screen: null, missing: true }),
    );
    return () => void (here = false);
  }, []);
  useArrive(screen !== null);
  const Body = screen;
  if (Body) return <Body params={params} />;
  return missing ? <Missing title={title} /> : <p class="sheet">Opening…</p>;
}

/** In the place of a screen whose code cannot be had. */
function Missing({ title }: { title: string }) {
  const overtaken = useApp().state.installed?.overtaken ?? false;
  return (
    <div class="sheet">
      <h1 tabIndex={-1}>{title}</h1>
      {overtaken ? (
        <p role="alert">
          A newer version of this page was installed in another tab. Open this page again to get it; what is recorded is safe.
        </p>
      ) : (
        <p role="alert">This screen is not on the phone yet. Open it once where there is signal; what is recorded is safe.</p>
      )}
      {overtaken && (
        <Button wide press={() => location.reload()}>
          Open again
        </Button>
      )}
      <a class="button" href="#/">
        Back to today
      </a>
    </div>
  );
}

/** Puts the focus on the heading of a screen that was gone to, so that it is read out. */
function useArrive(there: boolean) {
  const first = useRef(true);
  useEffect(() => {
    if (!there || !first.current) return;
    first.current = false;
    document.getElementById("screen")?.scrollTo(0, 0); // what scrolls as a whole was scrolled by the screen before
    if (hasGone) focusHeading();
    hasGone = true;
  }, [there]);
}

let hasGone = false; // the first screen leaves the focus where the browser has it
