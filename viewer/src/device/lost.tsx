// What is shown when the browser has lost what was on this device, and a second copy of it
// is there: it comes back at a tap, with no signal. Never by itself: the officer is to know.

import { useState } from "preact/hooks";
import { Button } from "../ui/button.tsx";
import { WholeFrame } from "../ui/frame.tsx";
import { Caution, Trouble } from "../ui/panel.tsx";
import { type Told, troubleOf } from "../storage/errors.ts";
import type { Copied } from "../storage/store.ts";
import { device } from "../base/page.ts";
import { count } from "../base/words.ts";

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
    <WholeFrame
      title={`The browser has lost this ${device}'s entries`}
      actions={
        <Button rank="main" wide disabled={busy} press={() => void bring()}>
          Bring it back
        </Button>
      }
    >
      <div class="stack">
        <p role="status">{busy ? "Bringing it back… Leave the page open." : copyWords(copied)}</p>
        <p>What was sent is on the server, and comes to this {device} again when there is signal.</p>
      </div>
      {failed && <Trouble {...failed} />}
      {hasSome(copied) && <Caution>Then check today's list. If something is missing, write it down now and tell the office.</Caution>}
      {failed && (
        <a class="button" href="#/enrol">
          Enrol this {device} again
        </a>
      )}
    </WholeFrame>
  );
}

const hasSome = ({ entries, photos, drafts }: Copied): boolean => entries + photos + drafts > 0;

const copyWords = (copied: Copied): string =>
  hasSome(copied) ? `There is a second copy of what was not sent: ${copiedWords(copied)}.` : "Nothing was waiting to be sent.";

/** "12 entries, 3 photos and unfinished work". */
export function copiedWords({ entries, photos, drafts }: Copied): string {
  const parts = [count(entries, "entry", "entries")];
  if (photos > 0) parts.push(count(photos, "photo", "photos"));
  if (drafts > 0) parts.push("unfinished work");
  const last = parts.pop()!;
  return parts.length > 0 ? `${parts.join(", ")} and ${last}` : last;
}
