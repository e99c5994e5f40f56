// Photos that are not recorded yet: asked for again when the camera was opened and nothing
// came back, told when they cannot be brought to size. Photos that lie on the phone are
// recorded as soon as this is on the screen.

import { useEffect, useState } from "preact/hooks";
import { clock } from "../app/words.ts";
import { useField } from "../field.ts";
import { Button, Row } from "../kit/button.tsx";
import { Trouble } from "../kit/part.tsx";
import type { Told } from "../kit/trouble.ts";
import { developAll } from "./darkroom.ts";
import { filmOf } from "./film.ts";
import type { Shot } from "./roll.ts";
import { useStanding } from "./stand.ts";
import { toldOf, useTaking } from "./taking.ts";

/** Of one thing, or of all. */
export function Pending({ of }: { of?: string }) {
  const field = useField();
  const film = filmOf(field.shelf);
  const [shots, setShots] = useState<readonly Shot[]>([]);
  const [trouble, setTrouble] = useState<Told | undefined>();
  useEffect(() => {
    let here = true;
    const look = () => film.shots().then((all) => here && setShots(all), () => {});
    void look();
    const stop = film.watch(() => void look());
    developAll(field).catch((error: unknown) => here && setTrouble(toldOf(error)));
    return () => {
      here = false;
      stop();
    };
  }, [field.property.id]);
  const mine = shots.filter((s) => s.property === field.property.id && (of === undefined || s.of === of));
  const waiting = mine.filter((s) => s.stage === "kept" && !s.trouble);
  return (
    <>
      {trouble && <Trouble what={trouble.what} todo={trouble.todo} />}
      {mine.filter((s) => s.stage === "expected" || s.trouble).map((shot) => <Asked key={shot.id} shot={shot} />)}
      {waiting.length > 0 && <p class="soft" role="status">{waiting.length === 1 ? "A photo is" : `${waiting.length} photos are`} being brought to size; safe on this phone.</p>}
    </>
  );
}

function Asked({ shot }: { shot: Shot }) {
  const field = useField();
  const taking = useTaking();
  const film = filmOf(field.shelf);
  const standing = useStanding();
  const when = clock(new Date(shot.atMS), new Date());
  return (
    <section class="trouble" aria-label="Photo expected">
      <p>
        <strong>{shot.trouble ?? `The photo of ${shot.named} did not come back from the camera at ${when}.`}</strong>
      </p>
      <p>{shot.trouble ? "It is still on this phone. Take it again, or choose another." : "Take it again, or choose it from the gallery if the phone kept it there."}</p>
      {taking.trouble && <p>{taking.trouble.what} {taking.trouble.todo}</p>}
      {taking.busy && <p role="status">{taking.busy}</p>}
      <Row>
        <Button press={() => void taking.again(shot, "camera", standing)}>Take it again</Button>
        <Button press={() => void taking.again(shot, "gallery", standing)}>From the gallery</Button>
        <Button rank="quiet" press={() => void film.done(shot.id)}>No photo</Button>
      </Row>
    </section>
  );
}
