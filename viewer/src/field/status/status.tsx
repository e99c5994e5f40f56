// Sync status, and no better than it is: what is on this phone, what the server
// has, what it refused, how much room there is, and whether the clock is right.

import { useEffect, useState } from "preact/hooks";
import { useApp } from "../context/app.ts";
import { calledProperty } from "../../storage/chosenproperty.ts";
import { keptWords, storageNow, watchStorage } from "../../storage/persistence.ts";
import { clock, grouped, size } from "../../base/words.ts";
import { type Params, useField } from "../context/field.ts";
import { useRead } from "../../ui/hooks.ts";
import type { Copied, PropertyState } from "../../storage/store.ts";
import { Button } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { Caution } from "../../ui/panel.tsx";
import { clockWords, copyWords, roomWords, scarceWords } from "./judge.ts";
import { Page } from "./page.tsx";
import { Refused } from "./refused.tsx";

export function Status(_: { params: Params }) {
  const field = useField();
  const { state, tell } = useApp();
  const [now, setNow] = useState(() => new Date());
  const [copied, setCopied] = useState<Copied | null>();
  const { counts, sync, storage } = state;
  useEffect(() => void field.store.copied().then(setCopied), [counts]);
  useEffect(() => {
    void storageNow().then((s) => tell({ do: "storage", storage: s }));
    const timer = setInterval(() => setNow(new Date()), 20_000);
    return () => clearInterval(timer);
  }, []);
  const ask = () => watchStorage((s) => tell({ do: "storage", storage: s }));
  const doubt = clockWords(sync);
  const several = (state.self?.properties.length ?? 0) > 1;
  return (
    <Frame
      title="Sync status"
      actions={
        <div class="row">
          <a class="button" href="#/handover">
            Hand over by file
          </a>
          <Button rank="main" press={() => field.sync.sendNow()}>
            Send now
          </Button>
        </div>
      }
    >
      {sync?.state === "refused" && <Caution>{sync.words}</Caution>}
      {doubt && <Caution>{doubt}</Caution>}
      <h2>This phone and the server</h2>
      <dl class="facts">
        <Row label={`Entries on this phone${several ? ", of all properties" : ""}`} value={counts && grouped(counts.entries)} />
        <Row label="Entries not sent yet" value={counts && grouped(counts.unsent)} />
        <EachProperty of="unsent" />
        <Row
          label="Photos not sent yet"
          value={counts && (counts.photosUnsent ? `${counts.photosUnsent}, ${size(counts.photoBytesUnsent)}` : "0")}
        />
        <EachProperty of="photosUnsent" />
        {counts?.oldestUnsent && <Row label="Oldest not sent yet" value={clock(counts.oldestUnsent, now)} />}
        <Row label="Last contact with the server" value={sync && (sync.lastSent ? clock(sync.lastSent, now) : "none yet")} />
        {sync?.state !== "refused" && <Row label="Now" value={sync?.words} />}
      </dl>
      <p class="soft">
        Keep this page open while it sends: a phone sends nothing for a page that is closed. With no answer it tries again by itself within
        a minute, or at once when you press Send now.
      </p>
      {counts !== null && counts.refused > 0 && <Refused n={counts.refused} />}
      <h2>Room on the phone</h2>
      {storage && storage.kept !== true && (
        <Caution>
          {keptWords(storage.kept)}
          <Button wide press={ask}>
            Ask the browser again
          </Button>
        </Caution>
      )}
      {scarceWords(storage) && <Caution>{scarceWords(storage)}</Caution>}
      <dl class="facts">
        <Row label="Kept by the browser" value={storage && (storage.kept ? "yes, promised" : "not promised")} />
        <Row label="Second copy" value={copyWords(counts, copied)} />
        <Row label="Used" value={storage && size(storage.usedBytes)} />
        <Row label="Photos there is room for" value={storage && roomWords(storage)} />
      </dl>
      <Page />
      <h2>Who</h2>
      <dl class="facts">
        <Row label="Recorded by" value={state.self?.author} />
        <Row label="Property" value={calledProperty(field.property)} />
        <Row label="This phone's device number" value={state.self?.device} />
      </dl>
      <div class="stack">
        <a class="button" href="#/property">
          Properties
        </a>
        <a class="button" href="#/enrol">
          {state.cloned || state.trouble || state.sync?.state === "refused" ? "Enrol this phone again" : "Add a property by a code"}
        </a>
      </div>
    </Frame>
  );
}

/** What waits of each property, where there are several. */
function EachProperty({ of }: { of: "unsent" | "photosUnsent" }) {
  const field = useField();
  const { state } = useApp();
  const states = useRead<readonly PropertyState[]>(
    () => field.store.properties(),
    [],
    `${state.counts?.unsent} ${state.counts?.photosUnsent} ${JSON.stringify(state.self?.properties)}`,
  );
  const waiting = states?.filter((s) => s[of] > 0) ?? [];
  if ((states?.length ?? 0) < 2) return null;
  return (
    <>
      {waiting.map((s) => (
        <Row
          key={s.property.id}
          label={`of these on ${calledProperty(s.property)}`}
          value={grouped(s[of]) + (s.property.barred ? ": no right to send them, ask the office" : "")}
        />
      ))}
    </>
  );
}

function Row({ label, value }: { label: string; value: string | null | undefined }) {
  return (
    <div>
      <dt>{label}</dt>
      <dd>{value || "not known yet"}</dd>
    </div>
  );
}
