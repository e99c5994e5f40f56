// The screen on which the unsent captures are saved to a file.

import { useEffect, useState } from "preact/hooks";
import { useApp } from "../context/app.ts";
import { clock, count, size } from "../../base/words.ts";
import { type Params, useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { Caution, Trouble } from "../../ui/panel.tsx";
import { makeFile } from "../../storage/handover/file.ts";
import { give, type Given } from "../part/give.ts";
import { askToRescue } from "../part/rescue.ts";
import { lastFile, onlyHere, rememberFile, type SavedFile } from "../../storage/handover/saved.ts";

interface Known {
  readonly last: SavedFile | undefined;
  readonly only: { readonly entries: number; readonly photos: number };
}

export function Handover(_: { params: Params }) {
  const { store } = useField();
  const { state } = useApp();
  const { counts } = state;
  const several = (state.self?.properties.length ?? 0) > 1;
  const [known, setKnown] = useState<Known | null>(null);
  const [busy, setBusy] = useState(false);
  const [done, setDone] = useState<{ given: Given; name: string; bytes: number } | null>(null);
  const [failed, setFailed] = useState("");

  const look = () =>
    void Promise.all([lastFile(store), onlyHere(store)]).then(
      ([last, only]) => setKnown({ last, only }),
      () => {},
    );
  useEffect(look, [counts]);

  const save = async () => {
    setBusy(true);
    setFailed("");
    try {
      const madeAt = new Date();
      const { name, bytes, holds } = await makeFile(store.outbox, state.self!, madeAt);
      const given = await give(name, bytes);
      if (given !== "cancelled") await rememberFile(store, { name, atMS: madeAt.getTime(), ...holds });
      setDone({ given, name, bytes: bytes.size });
      look();
    } catch (error) {
      setFailed(String(error));
    }
    setBusy(false);
  };

  const nothing = counts !== null && counts.unsent + counts.refused + counts.photosUnsent === 0;
  return (
    <Frame
      title="Save to a file"
      actions={
        <Button rank="main" wide disabled={busy || counts === null || nothing} press={() => void save()}>
          {busy ? "Writing the file…" : "Save to a file"}
        </Button>
      }
    >
      <div class="stack">
        {nothing ? (
          <p>Everything recorded on this phone{several && ", of all properties,"} is sent. There is nothing to save.</p>
        ) : (
          <p>
            <b>{count(counts?.unsent ?? 0, "entry", "entries")}</b> and <b>{count(counts?.photosUnsent ?? 0, "photo", "photos")}</b>
            {counts && counts.photosUnsent > 0 ? ` (${size(counts.photoBytesUnsent)})` : ""}
            {several && ", of all properties on this phone,"} are not sent yet.
            {counts && counts.refused > 0
              ? ` The ${count(counts.refused, "entry", "entries")} that the server refused ${counts.refused === 1 ? "goes" : "go"} into the file too.`
              : ""}
          </p>
        )}
        <p>
          For a day without any signal. Give the file to the office, on a USB stick, or with any app of this phone: the office takes it in
          as if it had been sent.
        </p>
        {failed && (
          <Trouble
            what="The file could not be written."
            todo={`Nothing is lost: all of it is still on this phone. Make room on the phone and try again. (${failed})`}
          >
            <Button wide press={askToRescue}>
              Save what can be read
            </Button>
          </Trouble>
        )}
        <div role="status">
          {done && done.given === "downloaded" && (
            <p>
              <b>{done.name}</b>, {size(done.bytes)}, went to this phone's downloads. Check that it is there.
            </p>
          )}
          {done && done.given === "shared" && (
            <p>
              <b>{done.name}</b>, {size(done.bytes)}, was passed to the app you chose.
            </p>
          )}
          {done && done.given === "cancelled" && <p>No file was saved.</p>}
        </div>
        {known?.last && !nothing && (
          <p>
            Last file: {clock(new Date(known.last.atMS), new Date())}.{" "}
            {known.only.entries + known.only.photos === 0
              ? "Everything not sent yet is in it."
              : `Since then: ${count(known.only.entries, "entry", "entries")}, ${count(known.only.photos, "photo", "photos")}.`}
          </p>
        )}
      </div>
      <Caution>
        What is in the file stays on this phone until it is sent. Do not clear the browser's data, even with the file in hand.
      </Caution>
    </Frame>
  );
}
