// The first meeting: a one-time code from the office makes this phone known to the server.

import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { Stopped } from "../app/stopped.tsx";
import { keptWords, storageNow } from "../app/storage.ts";
import { Button } from "../kit/button.tsx";
import { TextInput } from "../kit/input.tsx";
import { Caution, Trouble } from "../kit/part.tsx";
import { troubleOf, type Told } from "../kit/trouble.ts";
import type { Self, ShelfTrouble } from "../shelf.ts";
import { newID } from "../shelf/uuid.ts";
import { askToEnrol } from "./ask.ts";
import { Elsewhere } from "../worker/elsewhere.tsx";
import { codeIn, mayNot, whereNow } from "./code.ts";
import { canScan } from "./scan.ts";
import { Scanner } from "./scanner.tsx";

interface EnrolProps {
  readonly address: string; // "#/enrol/CODE" brings the code along
  readonly self: Self | null;
  readonly trouble: ShelfTrouble | null; // of the phone's store, which enrolling anew may end
  readonly enrolled: (self: Self) => Promise<void>;
}

export function Enrol({ address, self, trouble, enrolled }: EnrolProps) {
  const [code, setCode] = useState("");
  useEffect(() => {
    if (address.startsWith("#/enrol/")) setCode(codeIn(address));
  }, [address]);
  const [author, setAuthor] = useState(self?.author ?? "");
  const [busy, setBusy] = useState(false);
  const [scanning, setScanning] = useState(false);
  const [failed, setFailed] = useState<Told | null>(null);
  const refused = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (failed) refused.current?.scrollIntoView({ block: "center" }); // a small screen stands at the button
  }, [failed]);
  const [wrong, setWrong] = useState("");
  const [granted, setGranted] = useState<{ self: Self; kept: boolean | undefined } | null>(null);
  const [scans, setScans] = useState<boolean | null>(null); // null: the browser has not said yet
  useEffect(() => void canScan().then(setScans), []);
  const refusal = mayNot(whereNow());

  const enrol = async () => {
    setWrong(code.trim() ? "" : "Type the code from the office");
    if (!code.trim() || busy) return;
    setBusy(true);
    setFailed(null);
    try {
      const { kept } = await storageNow(true); // asked at the tap, as browsers want it
      const found = await askToEnrol(codeIn(code), newID(), author.trim());
      if (kept) await enrolled(found);
      else setGranted({ self: found, kept });
    } catch (error) {
      setFailed(troubleOf(error));
    }
    setBusy(false);
  };

  if (!self && (trouble?.kind === "damaged" || trouble?.kind === "closed")) {
    // An enrolment would put an empty store beside captures that may still be read.
    return <Stopped stop={{ what: trouble.message, todo: trouble.todo }} />;
  }
  if (granted) {
    return (
      <Sheet title="This phone is enrolled" actions={<Button rank="main" wide press={() => void enrolled(granted.self).catch((error: unknown) => setFailed(troubleOf(error)))}>Continue</Button>}>
        <Caution>{keptWords(granted.kept)} Putting this page on the home screen usually makes it promise.</Caution>
        {failed && <Trouble what={failed.what} todo={failed.todo} />}
      </Sheet>
    );
  }
  if (refusal) {
    return (
      <Sheet title="Cannot enrol here">
        <Trouble what={refusal.what} todo={refusal.todo} />
      </Sheet>
    );
  }
  if (scanning) {
    return (
      <Sheet title="Scan the code">
        <Scanner found={(read) => (setCode(read), setScanning(false))} close={() => setScanning(false)} />
      </Sheet>
    );
  }
  return (
    <Sheet title={self ? "Enrol again" : "Enrol"} actions={<Button rank="main" wide disabled={busy} press={() => void enrol()}>{busy ? "Asking the server…" : "Enrol this phone"}</Button>}>
      {trouble && !failed && <Trouble what={trouble.message} todo={trouble.todo} />}
      {self && <a class="button" href="#/">Back to today</a>}
      <p>The office gives you a code. It works once, on one phone.</p>
      {!self && !trouble && <Elsewhere />}
      {scans && <Button wide press={() => setScanning(true)}>Scan the code</Button>}
      {scans === false && <p>This browser cannot scan codes. Type the code, or scan it with the phone’s own camera and open the address it shows.</p>}
      <TextInput label="Code" required value={code} change={setCode} wrong={wrong || undefined} />
      <TextInput label="Your name" plain value={author} change={setAuthor} hint="If left empty, the name the office gave with the code." />
      <div ref={refused}>{failed && <Trouble what={failed.what} todo={failed.todo} />}</div>
    </Sheet>
  );
}

function Sheet({ title, children, actions }: { title: string; children: ComponentChildren; actions?: ComponentChildren }) {
  return (
    <main class="screen">
      <header class="head first"><h1 tabIndex={-1}>{title}</h1></header>
      <div class="sheet">{children}</div>
      {actions && <div class="actions">{actions}</div>}
    </main>
  );
}
