// The first meeting: a one-time code from the office makes this device known to the server.

import { useEffect, useRef, useState } from "preact/hooks";
import { device } from "../base/page.ts";
import { Button } from "../ui/button.tsx";
import { WholeFrame } from "../ui/frame.tsx";
import { TextInput } from "../ui/input.tsx";
import { Caution, Trouble } from "../ui/panel.tsx";
import { type Told, troubleOf } from "../storage/errors.ts";
import type { Problem } from "../base/problem.ts";
import type { Self, Store, StorageError } from "../storage/store.ts";
import { askToKeep } from "../storage/persistence.ts";
import { askToEnrol } from "../sync/enrol.ts";
import { Elsewhere } from "./elsewhere.tsx";
import { codeIn, mayNot, whereNow } from "./code.ts";
import { canScan } from "./scan.ts";
import { Scanner } from "./scanner.tsx";

interface EnrolProps {
  readonly address: string; // "#/enrol/CODE" brings the code along
  readonly self: Self | null;
  /** It needs a new device id: its own is lost, refused, or another device's too. */
  readonly again: boolean;
  readonly trouble: StorageError | null; // of the store, which enrolling again may end
  readonly store: Pick<Store, "asked" | "asking">;
  /** Keeps what was granted; it resolves when that is on the disk. */
  readonly enrolled: (self: Self) => Promise<void>;
}

export function Enrol({ address, self, again, trouble, store, enrolled }: EnrolProps) {
  const adds = self !== null && !again;
  const linked = address.startsWith("#/enrol/") ? codeIn(address) : "";
  const [code, setCode] = useState(linked);
  useEffect(() => {
    if (linked) change(linked);
  }, [linked]);
  const [begun, setBegun] = useState(""); // the code of an enrolment that was broken off
  useEffect(() => {
    void store.asked().then((asked) => {
      if (!asked) return;
      setBegun(asked.code);
      setCode((typed) => typed || asked.code);
    });
  }, []);
  /** What was said of another code does not stand beside this one. */
  const change = (typed: string) => {
    setCode(typed);
    setFailed(null);
    setWrong("");
  };
  const [busy, setBusy] = useState(false);
  const [scanning, setScanning] = useState(false);
  const [failed, setFailed] = useState<Told | null>(null);
  const refused = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (failed) refused.current?.scrollIntoView({ block: "center" }); // a small screen stands at the button
  }, [failed]);
  const [wrong, setWrong] = useState("");
  const [scans, setScans] = useState<boolean | null>(null); // null: the browser has not said yet
  useEffect(() => void canScan().then(setScans), []);
  const refusal = mayNot(whereNow());
  const once = `It works once, on one ${device}.${adds ? ` Its properties are added to those on this ${device}: nothing here is hidden or lost.` : ""}`;
  const byLink = linked !== "" && codeIn(code) === linked; // the office's own link: there is nothing to look for

  const enrol = async () => {
    setWrong(code.trim() ? "" : "Type the code from the office");
    if (!code.trim() || busy) return;
    setBusy(true);
    setFailed(null);
    try {
      void askToKeep(); // at the tap, as browsers want it; they may ask the officer, whom nothing waits for
      await enrolled(await granted());
    } catch (error) {
      setFailed(troubleOf(error));
    }
    setBusy(false);
  };

  /** A device that the server knows gets the code's properties besides its own; one that it refuses asks as a new one. The name is the office's. */
  const granted = async (): Promise<Self> => {
    const name = self?.author ?? "";
    try {
      return await askToEnrol(await store.asking(codeIn(code), again), name);
    } catch (error) {
      const { path } = error as Partial<Problem>;
      if (!adds || (path !== "token" && path !== "device")) throw error;
      return askToEnrol(await store.asking(codeIn(code), true), name);
    }
  };

  if (refusal) {
    return (
      <WholeFrame title="Cannot enrol here">
        <Trouble {...refusal} />
      </WholeFrame>
    );
  }
  if (scanning) {
    return (
      <WholeFrame title="Scan the code">
        <Scanner
          found={(read) => {
            change(read);
            setScanning(false);
          }}
          close={() => setScanning(false)}
        />
      </WholeFrame>
    );
  }
  return (
    <WholeFrame
      title={adds ? "Add a property" : self ? "Enrol again" : "Enrol"}
      actions={
        <Button rank="main" wide disabled={busy} press={() => void enrol()}>
          {busy ? "Asking the server…" : adds ? "Add the property" : `Enrol this ${device}`}
        </Button>
      }
    >
      {trouble && !failed && <Trouble what={trouble.message} todo={trouble.todo} />}
      {self && (
        <a class="button" href="#/">
          {device === "phone" ? "Back to today" : "Back to the properties"}
        </a>
      )}
      <div class="stack">
        {begun !== "" && begun === codeIn(code) ? (
          <Caution>
            Enrolling with this code was not finished. Press Enrol this {device}: the code still works on this {device}.
          </Caution>
        ) : byLink ? (
          <p>The code from the office is filled in. {once}</p>
        ) : (
          <>
            <p>The office gives you a code. {once}</p>
            {!self && !trouble && <Elsewhere key="typed" />}
          </>
        )}
        {!byLink && scans && (
          <Button wide press={() => setScanning(true)}>
            Scan the code
          </Button>
        )}
        {!byLink && scans === false && device === "phone" && (
          <p>This browser cannot scan codes. Type the code, or scan it with the phone's own camera and open the address it shows.</p>
        )}
      </div>
      <TextInput label="Code" required value={code} change={change} wrong={wrong} enter={() => void enrol()} />
      <div ref={refused}>{failed && <Trouble {...failed} />}</div>
      {byLink && !self && !trouble && <Elsewhere key="link" byLink />}
    </WholeFrame>
  );
}
