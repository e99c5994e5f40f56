// A phone without a screen, in Node: the shipped storage, sync and computations in one
// process, moved by lines of JSON on its standard input. It is killed as a phone is, and
// started again on the same folder.

import { join } from "node:path";
import { createInterface } from "node:readline";
import { WorkerModel } from "../../src/compute/model.ts";
import { Backup } from "../../src/storage/backup.ts";
import { backedUpIn } from "../../src/storage/backuprecords.ts";
import { openStore } from "../../src/storage/phonestore.ts";
import type { Draft } from "../../src/storage/store.ts";
import { askToEnrol } from "../../src/sync/enrol.ts";
import { PhoneSync } from "../../src/sync/sync.ts";
import { be, beWorker, bringComputations, isMainThread, type Place, setClock } from "./browser.ts";
import { openDisk } from "./disk.ts";

/** One line of what it is asked; a line with its id answers. */
interface Asked {
  readonly id: number;
  readonly ask: string;
  readonly with: object;
}

async function run(place: Place): Promise<void> {
  be(place);
  await openDisk(join(place.dir, "indexeddb"));
  const model = new WorkerModel();
  const slow = () => new Promise((resolve) => setTimeout(resolve, place.foldMS));
  const store = await openStore({ gather: (features) => slow().then(() => model.gather(features)) });
  let drawn = place.seed;
  const chance = () => (drawn = (Math.imul(drawn, 1664525) + 1013904223) >>> 0) / 2 ** 32 / 10;
  const sync = new PhoneSync(store, { chance });
  void sync.run();

  const tell = (line: object) => void process.stdout.write(`${JSON.stringify(line)}\n`);
  const deeds = {
    async enrol({ code, again }: { code: string; again: boolean }) {
      await store.enrol(await askToEnrol(await store.asking(code, again), ""));
      sync.sendNow();
      return store.self();
    },
    async capture({ property, draft, photo }: { property: string; draft: Draft; photo?: string }) {
      const bytes = photo && new Uint8Array(Buffer.from(photo, "base64")).buffer;
      const [saved] = await store.capture(property, [{ ...draft, ...(bytes && { photo: { bytes, takenFor: "" } }) }]);
      return saved;
    },
    begin: ({ name }: { name: string }) => store.beginProperty(name),
    clock: ({ aheadMS }: { aheadMS: number }) => setClock(aheadMS),
    compute: () => bringComputations(),
    send: () => sync.sendNow(),
    bringBack: () => store.bringBack(),
    /** What only this phone has and the copy outside the database lacks. */
    async uncopied() {
      const backup = new Backup(store.db.name, true);
      const there = backedUpIn(await backup.all());
      backup.close();
      const { entries, photos } = await store.outbox.all();
      const texts = new Set(there.entries.map(({ text }) => text));
      const named = new Set([...there.photos.map(({ sha }) => sha), ...(there.self?.properties ?? []).map(({ id }) => id)]);
      return [
        ...entries.map(({ text }) => text).filter((text) => !texts.has(text)),
        ...[...photos.map(({ sha }) => sha), ...store.self()!.properties.map(({ id }) => id)].filter((name) => !named.has(name)),
      ];
    },
    features: ({ property }: { property: string }) => store.features(property),
    async waiting() {
      const { entries, photos } = await store.outbox.all();
      return { entries: entries.map(({ text }) => (JSON.parse(text) as { id: string }).id), photos: photos.map(({ sha }) => sha) };
    },
    async state() {
      const self = store.self();
      const at = (self?.properties ?? []).map(async ({ id }) => [id, (await store.outbox.position(id))?.n ?? 0]);
      return {
        ...sync.state(),
        trouble: store.trouble()?.kind ?? "",
        cloned: store.cloned(),
        counts: await store.counts().catch(() => null),
        refusals: await store.refusals().catch(() => []),
        folding: await store.db.read((open) => open.count("notes", IDBKeyRange.bound("stale/", "stale0", false, true))).catch(() => 0),
        at: Object.fromEntries(await Promise.all(at).catch(() => [])),
      };
    },
    close() {
      sync.close();
      store.close();
    },
  };

  createInterface({ input: process.stdin })
    .on("line", (line) => {
      const { id, ask, with: given } = JSON.parse(line) as Asked;
      Promise.resolve((deeds[ask as keyof typeof deeds] as (given: object) => unknown)(given)).then(
        (done) => tell({ id, done }),
        (why: unknown) => tell({ id, failed: why instanceof Error ? `${why.name}: ${why.message}` : JSON.stringify(why) }),
      );
    })
    .on("close", () => process.kill(process.pid, "SIGKILL")); // a Node that exits while its worker computes may crash
  tell({ id: 0, done: store.trouble()?.kind ?? "" });
}

void (isMainThread ? run(JSON.parse(process.argv[2]!) as Place) : beWorker());
