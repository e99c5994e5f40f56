import { useEffect, useRef, useState } from "preact/hooks";
import { Button } from "../kit/button.tsx";
import { Trouble } from "../kit/part.tsx";
import { scan } from "./scan.ts";

/** The camera's picture until a code is seen in it. */
export function Scanner({ found, close }: { found: (text: string) => void; close: () => void }) {
  const video = useRef<HTMLVideoElement>(null);
  const [failed, setFailed] = useState(false);
  useEffect(() => {
    let here = true;
    let stop = () => {};
    scan(video.current!, found).then(
      (end) => (here ? (stop = end) : end()),
      () => here && setFailed(true),
    );
    return () => {
      here = false;
      stop();
    };
  }, []);
  return (
    <div class="scanner">
      {failed ? <Trouble what="The camera cannot be used." todo="Type the code instead." /> : <video ref={video} playsInline muted aria-label="Picture of the camera" />}
      <Button wide press={close}>Type it instead</Button>
    </div>
  );
}
