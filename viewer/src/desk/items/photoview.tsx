// One photo of an item over the whole window, and the way to the next.

import { useEffect, useRef } from "preact/hooks";
import { album } from "../../base/album.ts";
import type { Feature } from "../../base/entry.ts";
import { nameOf } from "../../base/names.ts";
import { captionOf, Large } from "../../item/photoview.tsx";
import { Button } from "../../ui/button.tsx";
import { useDesk } from "../context/desk.ts";

interface PhotoProps {
  readonly of: Feature;
  readonly sha: string;
  readonly open: (sha: string) => void;
  readonly close: () => void;
}

export function PhotoView({ of, sha, open, close }: PhotoProps) {
  const { state, store } = useDesk();
  const whole = useRef<HTMLDialogElement>(null);
  const shown = useRef(sha);
  shown.current = sha;
  useEffect(() => {
    const dialog = whole.current!;
    dialog.showModal();
    return () => {
      dialog.close();
      document.querySelector<HTMLElement>(`.album a[href$="/${shown.current}"]`)?.focus();
    };
  }, []);
  const pictures = album(of.id, state.features);
  const at = pictures.findIndex((p) => p.sha === sha);
  const picture = pictures[at];
  const name = nameOf(of, state.features);
  const go = (to: number) => pictures[to] && open(pictures[to].sha);
  const keys: { readonly [key: string]: () => void } = { ArrowLeft: () => go(at - 1), ArrowRight: () => go(at + 1) };
  return (
    <dialog
      class="photoview"
      ref={whole}
      aria-label={`Photo of ${name}`}
      onKeyDown={(e) => keys[e.key]?.()}
      onCancel={(e) => {
        e.preventDefault(); // the address says whether it is open
        close();
      }}
    >
      <header class="row">
        <div>
          <h2>{name}</h2>
          <p class="soft" role="status">
            {picture ? `${captionOf(picture)}. ${at + 1} of ${pictures.length}` : "This photo is not on this computer."}
          </p>
        </div>
        {pictures.length > 1 && (
          <>
            <Button press={() => go(at - 1)} disabled={at <= 0}>
              Later
            </Button>
            <Button press={() => go(at + 1)} disabled={at + 1 >= pictures.length}>
              Earlier
            </Button>
          </>
        )}
        <Button press={close}>Close</Button>
      </header>
      {picture && (
        <div class="full">
          <Large key={sha} store={store} feature={picture.feature} sha={sha} says={`Photo of ${name}: ${captionOf(picture)}`} />
        </div>
      )}
    </dialog>
  );
}
