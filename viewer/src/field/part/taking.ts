// Taking a photo with the phone's own camera, through a file input. The phone may end this
// page while the camera is open: that a photo is expected is written down before.

import { useRef, useState } from "preact/hooks";
import type { Feature } from "../../base/entry.ts";
import { useField } from "../context/field.ts";
import { newID } from "../../base/uuid.ts";
import { type Told, troubleOf } from "../../storage/errors.ts";
import { processAll, keepPicture } from "./processing.ts";
import { NotResized } from "../../survey/photo/resize.ts";
import { photoStoreOf } from "../../survey/photo/photostore.ts";
import { ownNameOf } from "../../base/names.ts";
import type { Purpose } from "../../survey/photo/purpose.ts";
import { asked, type Shot } from "../../survey/photo/pendingphotos.ts";
import type { Standing } from "./camerapose.ts";

export interface Taking {
  readonly trouble: Told | undefined;
  readonly busy: string; // what is being done, "" for nothing
  /** Opens the phone's camera, or its gallery, for a photo of a thing. A picture that was not taken at the tap is asked about before it is recorded. Call it in the tap. */
  open(of: Feature, purpose: Purpose, from: "camera" | "gallery", standing: Standing): Promise<void>;
  /** Opens them again for a photo that was expected. One of the camera is taken now; one of the gallery was taken then when its file says so. */
  again(shot: Shot, from: "camera" | "gallery", standing: Standing): Promise<void>;
  /** Keeps a picture of this page's own camera. */
  keep(of: Feature, purpose: Purpose, standing: ReturnType<Standing["now"]>, picture: () => Promise<ArrayBuffer>): Promise<boolean>;
}

export function useTaking(): Taking {
  const field = useField();
  const store = photoStoreOf(field.store);
  const [trouble, setTrouble] = useState<Told | undefined>();
  const [busy, setBusy] = useState("");
  const input = useRef<HTMLInputElement | undefined>(undefined);

  const guarded = async (work: () => Promise<void>): Promise<boolean> => {
    setTrouble(undefined);
    try {
      await work();
      return true;
    } catch (error) {
      setTrouble(toldOf(error));
      return false;
    } finally {
      setBusy("");
    }
  };
  const record = async (id: string) => {
    const toAsk = asked(await store.shots()).some((s) => s.id === id);
    field.say(toAsk ? "Picture safe on this phone" : "Photo safe on this phone");
    setBusy("Resizing…");
    await processAll(field);
  };
  const ask = (shot: Shot, from: "camera" | "gallery", cancelled: () => Promise<void>) => {
    const chooser = document.createElement("input");
    chooser.type = "file";
    chooser.accept = "image/*";
    if (from === "camera") chooser.setAttribute("capture", "environment");
    chooser.hidden = true;
    chooser.dataset["shot"] = shot.id;
    input.current?.remove();
    input.current = chooser;
    document.body.append(chooser); // some browsers forget an input that is nowhere in the page
    chooser.addEventListener("change", () => {
      const file = chooser.files?.[0];
      chooser.remove();
      if (file) {
        void guarded(async () => {
          setBusy("Keeping the photo…");
          await keepPicture(store, shot, from, file, () =>
            setBusy("This picture is over 8 MB: it is made smaller before it is kept. Leave the page open."),
          );
          await record(shot.id);
        });
      }
    });
    chooser.addEventListener("cancel", () => {
      chooser.remove();
      void guarded(cancelled);
    });
    chooser.click();
  };
  return {
    trouble,
    busy,
    open: async (of, purpose, from, standing) => {
      const shot = shotOf(field.property.id, of, purpose, from === "camera" ? standing.now() : { stand: {}, gallery: true });
      if (await guarded(() => store.expect(shot))) ask(shot, from, () => store.done(shot.id));
    },
    again: async (shot, from, standing) => {
      const { gallery: _, ...taken } = shot;
      const again = from === "camera" ? { ...taken, ...standing.now(), atMS: Date.now() } : shot;
      if (await guarded(() => store.note({ do: "again", shot: again }))) ask(again, from, async () => {});
    },
    keep: (of, purpose, stood, picture) =>
      guarded(async () => {
        const shot = shotOf(field.property.id, of, purpose, stood);
        setBusy("Keeping the photo…");
        const bytes = await picture();
        await store.expect(shot);
        await store.keep(shot.id, bytes, true);
        await record(shot.id);
      }),
  };
}

function shotOf(property: string, of: Feature, purpose: Purpose, stood: Pick<Shot, "stand" | "bearingDeg" | "gallery">): Shot {
  const now = Date.now();
  return { id: newID(now), property, of: of.id, named: ownNameOf(of), purpose, atMS: now, stage: "expected", ...stood };
}

export function toldOf(error: unknown): Told {
  if (error instanceof NotResized) return { what: error.message, todo: "Take it again, or choose another from the gallery." };
  return troubleOf(error);
}
