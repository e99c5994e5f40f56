// Whether the page itself is on the phone, and the newer version that waits for a tap.

import { useEffect, useState } from "preact/hooks";
import { useApp } from "../context/app.ts";
import { count } from "../../base/words.ts";
import { useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Caution } from "../../ui/panel.tsx";
import { onlyHere } from "../../storage/handover/saved.ts";
import { OpensOffline } from "../part/opensoffline.tsx";

export function Page() {
  const field = useField();
  const { state, installation } = useApp();
  const [failed, setFailed] = useState("");
  const { installed, counts } = state;
  const [only, setOnly] = useState<{ entries: number; photos: number } | null>(null);
  useEffect(() => void onlyHere(field.store).then(setOnly, () => setOnly(null)), [counts]);
  if (!installed) return null;
  const unsafe = only ? only.entries + only.photos : 1; // not known counts as unsafe
  const update = () => {
    installation
      .update(unsafe)
      .catch(() => setFailed("The newer version could not be installed. Keep using this one and try again later."));
  };
  return (
    <>
      <h2>This page</h2>
      <OpensOffline />
      {installed.overtaken && <OpenAgain />}
      {installed.newer ? (
        <>
          <p>
            A newer version is on this phone.
            {unsafe > 0 &&
              ` First send what only this phone has, or save it to a file: ${count(only?.entries ?? 0, "entry", "entries")}, ${count(only?.photos ?? 0, "photo", "photos")}.`}
          </p>
          {failed && <Caution>{failed}</Caution>}
          <Button wide disabled={unsafe > 0} press={update}>
            Update
          </Button>
        </>
      ) : (
        <Button
          wide
          press={() => {
            installation.look();
            field.say("Checking for a newer version");
          }}
        >
          Check for a newer version
        </Button>
      )}
    </>
  );
}

/** This page is of the version before: another tab has taken the newer one. */
function OpenAgain() {
  return (
    <Caution>
      A newer version was installed in another tab. This page keeps working; open it again to get the newer one. What is recorded stays.
      <Button wide press={() => location.reload()}>
        Open again
      </Button>
    </Caution>
  );
}
