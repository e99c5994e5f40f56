// What the backup's worker is asked, and its answers: each when the one before is done.

import { BackupCache, type Keeping } from "./backupcache.ts";
import { copiedIn } from "./backuprecords.ts";

export type BackupAsk =
  | { readonly do: "open"; readonly name: string; readonly readOnly: boolean }
  | { readonly do: "keep"; readonly records: readonly Keeping[]; readonly dropped: readonly string[] }
  | { readonly do: "keys" }
  | { readonly do: "count" }
  | { readonly do: "all" }
  | { readonly do: "give up bytes" }
  | { readonly do: "bytes"; readonly key: string }
  | { readonly do: "close" };

export interface BackupQuestion {
  readonly id: number;
  readonly ask: BackupAsk;
}

export interface BackupAnswer {
  readonly id: number;
  readonly done?: unknown;
  readonly failed?: string;
}

/** Answers one worker's questions by tell; close ends the worker. */
export function answering(tell: (answer: BackupAnswer) => void, close: () => void): (question: BackupQuestion) => void {
  let copy: BackupCache | undefined;
  let last: Promise<void> = Promise.resolve();

  async function did(ask: BackupAsk): Promise<unknown> {
    if (ask.do === "open") return void (copy = await BackupCache.open(ask.name, ask.readOnly));
    if (!copy) throw new Error("the backup is not open");
    switch (ask.do) {
      case "keep":
        return copy.keep(ask.records, ask.dropped);
      case "keys":
        return [...copy.kept.keys()];
      case "count":
        return copiedIn(copy.kept.values());
      case "all":
        return [...copy.kept.values()];
      case "give up bytes":
        return copy.giveUpBytes();
      case "bytes":
        return copy.bytes(ask.key);
      case "close":
        return close();
    }
  }

  return ({ id, ask }) => {
    last = last
      .then(() => did(ask))
      .then(
        (done) => tell({ id, done }),
        (why: unknown) => tell({ id, failed: String(why) }),
      );
  };
}
