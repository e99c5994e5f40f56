// Photos that are not recorded yet: asked for again when the camera was opened and nothing
// came back, told when they cannot be resized, asked about when they came from the gallery. Photos that lie on the phone are
// recorded as soon as this is on the screen.

import { useEffect, useState } from "preact/hooks";
import { clock } from "../../base/words.ts";
import { useField } from "../context/field.ts";
import { Button, Row } from "../../ui/button.tsx";
import { Trouble } from "../../ui/panel.tsx";
import type { Told } from "../../storage/errors.ts";
import { useRead } from "../../ui/hooks.ts";
import { processAll } from "./processing.ts";
import { photoStoreOf } from "../../survey/photo/photostore.ts";
import type { Shot } from "../../survey/photo/pendingphotos.ts";
import { useStanding } from "./camerapose.ts";
import { toldOf, useTaking } from "./taking.ts";

/** What there is to say of the photos that are not recorded. */
export interface Pending {
  readonly asked: readonly Shot[]; // wanted again, or their day is
  readonly waiting: number; // safe, and being brought to size
  readonly trouble: Told | undefined;
}

/** Of one thing, or of all, and records what waits; first is what is known of them already. */
export function usePending(of: string | undefined, first: readonly Shot[]): Pending {
  const field = useField();
  const store = photoStoreOf(field.store);
  const [shots, setShots] = useState(first);
  const [trouble, setTrouble] = useState<Told | undefined>();
  useEffect(() => {
    let here = true;
    const look = () =>
      store.shots().then(
        (all) => here && setShots(all),
        () => {},
      );
    void look();
    const stop = store.watch(() => void look());
    processAll(field).catch((error: unknown) => here && setTrouble(toldOf(error)));
    return () => {
      here = false;
      stop();
    };
  }, [field.property.id]);
  const mine = shots.filter((s) => s.property === field.property.id && (of === undefined || s.of === of));
  const asked = mine.filter((s) => s.stage !== "kept" || s.trouble);
  return { asked, waiting: mine.length - asked.length, trouble };
}

/** The photos that were begun, for a screen to draw together with the rest; undefined until they are read. */
export function useShots(): readonly Shot[] | undefined {
  const field = useField();
  return useRead(() => photoStoreOf(field.store).shots(), [], field.property.id);
}

/** All of it, for a thing or a property. */
export function PendingPhotos({ of, first }: { of?: string; first: readonly Shot[] }) {
  const { asked, ...rest } = usePending(of, first);
  return (
    <>
      {asked.map((shot) => (
        <Asked key={shot.id} shot={shot} />
      ))}
      <Processing {...rest} />
    </>
  );
}

export function Processing({ waiting, trouble }: Omit<Pending, "asked">) {
  return (
    <>
      {trouble && <Trouble {...trouble} />}
      {waiting > 0 && (
        <p class="soft" role="status">
          {waiting === 1 ? "A photo is" : `${waiting} photos are`} being resized; safe on this phone.
        </p>
      )}
    </>
  );
}

export function Asked({ shot }: { shot: Shot }) {
  return isUndated(shot) ? <Undated shot={shot} /> : <AskedAgain shot={shot} />;
}

/** Whether only the answer to when it was taken is missing. */
export const isUndated = (shot: Shot): boolean => shot.stage === "asked" && !shot.trouble;

/** A picture of the gallery whose day was not given before the page closed. */
function Undated({ shot }: { shot: Shot }) {
  const store = photoStoreOf(useField().store);
  return (
    <section class="wait" aria-label="Picture not saved yet">
      <p>
        <strong>A picture of {shot.named} from the gallery is not saved yet.</strong>
      </p>
      <Row>
        <a class="button main" href={`#/photo/${shot.of}`}>
          Say when it was taken
        </a>
        <Button press={() => void store.done(shot.id)}>Discard</Button>
      </Row>
    </section>
  );
}

function AskedAgain({ shot }: { shot: Shot }) {
  const field = useField();
  const taking = useTaking();
  const store = photoStoreOf(field.store);
  const standing = useStanding();
  const when = clock(new Date(shot.atMS), new Date());
  return (
    <section class="trouble" aria-label="Photo expected">
      <p>
        <strong>{shot.trouble ?? `The photo of ${shot.named} did not come back from the camera at ${when}.`}</strong>
      </p>
      <p>
        {shot.trouble
          ? "It is still on this phone. Take it again, or choose another."
          : "Take it again, or choose it from the gallery if the phone kept it there."}
      </p>
      {taking.trouble && (
        <p>
          {taking.trouble.what} {taking.trouble.todo}
        </p>
      )}
      {taking.busy && <p role="status">{taking.busy}</p>}
      <Row>
        <Button press={() => void taking.again(shot, "camera", standing)}>Take it again</Button>
        <Button press={() => void taking.again(shot, "gallery", standing)}>From the gallery</Button>
        <Button rank="quiet" press={() => void store.done(shot.id)}>
          No photo
        </Button>
      </Row>
    </section>
  );
}
