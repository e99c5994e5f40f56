// The shell around every screen of the desk page: how it stands with the server, what must be
// said at once, and which screen is open.

import { useEffect, useState } from "preact/hooks";
import { Button } from "../../ui/button.tsx";
import { Icon } from "../../ui/icon.tsx";
import type { Installation } from "../../serviceworker/install.ts";
import { type Desk, DeskContext } from "../context/desk.ts";
import { alertOf, linkOf } from "./link.ts";
import { screenAt } from "./screens.ts";

interface ShellProps {
  readonly desk: Desk;
  readonly installation: Installation;
  readonly retry: () => void;
}

export function Shell({ desk, installation, retry }: ShellProps) {
  const { row, params } = screenAt(desk.state.address);
  const { screen: Body } = row;
  return (
    <DeskContext.Provider value={desk}>
      <Alerts desk={desk} installation={installation} />
      <main id="screen">
        <Body key={params["id"] ?? ""} params={params} />
      </main>
      <Foot desk={desk} retry={retry} />
    </DeskContext.Provider>
  );
}

function Alerts({ desk: { state }, installation }: { desk: Desk; installation: Installation }) {
  const alert = alertOf(state);
  const newer = state.installed?.newer && !state.installed.overtaken;
  return (
    <>
      {alert && (
        <div class="loud" role="alert">
          <p>{alert.words}</p>
          {alert.enrols && <a href="#/enrol">Enrol again</a>}
        </div>
      )}
      {newer && (
        <div class="news" role="status">
          <p>A newer version of this page is on this computer.</p>
          <Button press={() => void installation.update(state.counts?.unsent ?? 1)}>Update</Button>
        </div>
      )}
      {state.said && (
        <div class="news" role="status">
          <p>{state.said}</p>
        </div>
      )}
    </>
  );
}

const signs = { connected: "M4 13l5 5L20 6", busy: "M12 3a9 9 0 1 1-9 9", cut: "M5 5l14 14M19 5L5 19" } as const;

/** Who sits here, and how the desk stands with the server. */
function Foot({ desk, retry }: { desk: Desk; retry: () => void }) {
  const [now, setNow] = useState(() => new Date());
  useEffect(() => {
    const timer = setInterval(() => setNow(new Date()), 20_000);
    return () => clearInterval(timer);
  }, []);
  const link = linkOf(desk.state, now);
  return (
    <footer class={`foot ${link.state}`}>
      <p id="link" role="status">
        <Icon path={signs[link.state]} />
        <span>{link.words}</span>
      </p>
      {link.retry && <Button press={retry}>Try now</Button>}
      <p class="soft who">{desk.state.self?.author}</p>
    </footer>
  );
}
