import { useEffect, useRef, useState } from "preact/hooks";
import { device } from "../base/page.ts";
import { Button } from "../ui/button.tsx";
import { Trouble } from "../ui/panel.tsx";
import { codeScanned } from "./code.ts";
import { scan } from "./scan.ts";

/** The camera's picture until a code of the office is seen in it. */
export function Scanner({ found, close }: { found: (code: string) => void; close: () => void }) {
  const video = useRef<HTMLVideoElement>(null);
  const [failed, setFailed] = useState(false);
  const [waiting, setWaiting] = useState(false); // for the browser's question whether this page may use the camera
  const [other, setOther] = useState(false); // a code is in sight that is not the office's
  const taken = (text: string): boolean => {
    const code = codeScanned(text);
    setOther(code === undefined);
    if (code !== undefined) found(code);
    return code !== undefined;
  };
  useEffect(() => {
    let here = true;
    let stop = () => {};
    const late = setTimeout(() => setWaiting(true), 1000);
    const answered = () => {
      clearTimeout(late);
      if (here) setWaiting(false);
    };
    scan(video.current!, taken).then(
      (end) => {
        answered();
        if (here) stop = end;
        else end();
      },
      () => {
        answered();
        if (here) setFailed(true);
      },
    );
    return () => {
      here = false;
      clearTimeout(late);
      stop();
    };
  }, []);
  return (
    <div class="scanner">
      {failed ? (
        <Trouble what="The camera cannot be used." todo="Allow it in the browser's settings for this page, or type the code." />
      ) : (
        <video ref={video} playsInline muted aria-label="Camera" />
      )}
      <p role="status">
        {other
          ? "That is not a code from the office."
          : failed
            ? ""
            : waiting
              ? "Waiting for the camera. If the browser asks whether this page may use it, allow it, or type the code."
              : `Hold the ${device} so that the office's code is in the picture.`}
      </p>
      <Button wide press={close}>
        Type it instead
      </Button>
    </div>
  );
}
