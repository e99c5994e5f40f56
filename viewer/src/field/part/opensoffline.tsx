// Whether the page works with no signal, as the officer reads it: only what was tried just now.

import { useEffect, useState } from "preact/hooks";
import { useApp } from "../context/app.ts";
import { Button } from "../../ui/button.tsx";
import { Caution } from "../../ui/panel.tsx";

type Tried = { readonly state: "trying" | "works" | "fails"; readonly why: string };

const trying: Tried = { state: "trying", why: "" };

export function OpensOffline() {
  const { state, installation } = useApp();
  const kept = state.installed?.state;
  const [tried, setTried] = useState(trying);
  const [times, setTimes] = useState(0);
  useEffect(() => {
    if (kept !== "kept") return;
    let here = true;
    setTried(trying);
    void installation.probe().then((why) => here && setTried({ state: why === "" ? "works" : "fails", why }));
    return () => void (here = false);
  }, [kept, times]);
  if (kept === "not-kept") return <Caution>{state.installed!.why}</Caution>;
  if (kept !== "kept") return <p>The page is being saved on this phone. Keep it open where there is signal.</p>;
  if (tried.state === "trying") return <p>Checking whether the page works with no signal…</p>;
  if (tried.state === "works") return <p>Checked now: the page is on this phone, opens and computes with no signal.</p>;
  return (
    <Caution>
      The page does not work with no signal. {tried.why} Keep the page open where there is signal, then check again.
      <Button wide press={() => setTimes(times + 1)}>
        Check again
      </Button>
    </Caution>
  );
}
