// The page that saves what can be read to a file when the store does not open.

import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { count, size } from "../../base/words.ts";
import { Button, Row } from "../../ui/button.tsx";
import { WholeFrame } from "../../ui/frame.tsx";
import { Caution, Trouble } from "../../ui/panel.tsx";
import { makeFile } from "../../storage/handover/file.ts";
import { give, type Given } from "../part/give.ts";
import { readRescued, type Rescued } from "../../storage/handover/salvage.ts";

export function rescue(root: HTMLElement): void {
  render(<Rescuing />, root);
}

function Rescuing() {
  const [found, setFound] = useState<Rescued | null>(null);
  const [failed, setFailed] = useState("");
  const [done, setDone] = useState<{ given: Given; name: string; bytes: number } | null>(null);
  useEffect(() => void readRescued().then(setFound, (why: unknown) => setFailed(String(why))), []);
  const save = async (rescued: Rescued) => {
    try {
      const { name, bytes } = await makeFile(rescued.outbox, rescued.self, new Date());
      setDone({ given: await give(name, bytes), name, bytes: bytes.size });
    } catch (why) {
      setFailed(String(why));
    }
  };
  const nothing = found !== null && found.entries + found.photos === 0;
  return (
    <WholeFrame
      title="Save what can be read"
      actions={
        <Row>
          <Button rank={found && !nothing && !done ? "plain" : "main"} press={() => location.reload()}>
            Open the page again
          </Button>
          {found && !nothing && (
            <Button rank={done ? "plain" : "main"} press={() => void save(found)}>
              Save to a file
            </Button>
          )}
        </Row>
      }
    >
      <div class="stack" role="status">
        {!found && !failed && <p>Reading what is on this phone…</p>}
        {found && !nothing && (
          <p>
            <b>{count(found.entries, "entry", "entries")}</b> and <b>{count(found.photos, "photo", "photos")}</b> that are not sent yet can
            be read.
          </p>
        )}
        {nothing && <p>Everything that can be read is sent.</p>}
        {found !== null && found.unreadable > 0 && <p>{count(found.unreadable, "record", "records")} cannot be read.</p>}
        {done && <p>{wordsOf(done)}</p>}
      </div>
      {failed && (
        <Trouble
          what="The browser does not give out what is on this phone."
          todo={`Close all other tabs of this page, restart the phone, and try once more. If it stays so, take the phone to the office. (${failed})`}
        />
      )}
      <Caution>
        Do not clear the browser's data, nor take the page off the home screen: what is on this phone would be gone for good.
      </Caution>
    </WholeFrame>
  );
}

function wordsOf({ given, name, bytes }: { given: Given; name: string; bytes: number }): string {
  if (given === "cancelled") return "No file was saved.";
  const where = given === "shared" ? "was passed to the app you chose" : "went to this phone's downloads. Check that it is there";
  return `${name}, ${size(bytes)}, ${where}. Give it to the office: it is taken in as if it had been sent.`;
}
