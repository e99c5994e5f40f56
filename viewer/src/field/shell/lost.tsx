// What is shown when the browser has lost what was on this phone, and a second copy of it
// is there: it comes back at a tap, with no signal. Never by itself: the officer is to know.

import { useState } from "preact/hooks";
import { Button } from "../../ui/button.tsx";
import { Caution, Trouble } from "../../ui/panel.tsx";
import { type Told, troubleOf } from "../../storage/errors.ts";
import type { Copied } from "../../storage/store.ts";
import { count } from "../../base/words.ts";

export function Lost({ copied, back }: { copied: Copied; back: () => Promise<void> }) {
  const [busy, setBusy] = useState(false);
  const [failed, setFailed] = useState<Told | null>(null);
  const bring = async () => {
    setBusy(true);
    setFailed(null);
    try {
      await back();
    } catch (error) {
      setFailed(troubleOf(error));
      setBusy(false);
    }
  };
  return (
    <main class="screen">
      <header class="head first">
        <h1 tabIndex={-1}>The browser has lost this phone’s entries</h1>
      </header>
      <div class="sheet">
        <div class="stack">
          <p role="status">
            {busy ? "Bringing it back… Leave the page open." : `There is a second copy of what was not sent: ${copiedWords(copied)}.`}
          </p>
          <p>What was sent is on the server, and comes to this phone again when there is signal.</p>
        </div>
        {failed && <Trouble what={failed.what} todo={failed.todo} />}
        <Caution>Then check today’s list. If something is missing, write it down now and tell the office.</Caution>
        {failed && (
          <a class="button" href="#/enrol">
            Enrol this phone again
          </a>
        )}
      </div>
      <div class="actions">
        <Button rank="main" wide disabled={busy} press={() => void bring()}>
          Bring it back
        </Button>
      </div>
    </main>
  );
}

/** "12 entries, 3 photos and unfinished work". */
export function copiedWords({ entries, photos, drafts }: Copied): string {
  const parts = [count(entries, "entry", "entries")];
  if (photos > 0) parts.push(count(photos, "photo", "photos"));
  if (drafts > 0) parts.push("unfinished work");
  const last = parts.pop()!;
  return parts.length > 0 ? `${parts.join(", ")} and ${last}` : last;
}
