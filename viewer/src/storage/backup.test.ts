// How long is waited for the copy outside of the database, by a worker that answers as a test lets it.

import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import { Backup } from "./backup.ts";
import type { BackupAnswer, BackupQuestion } from "./backupanswers.ts";

class Worker {
  onmessage: ((event: { data: BackupAnswer }) => void) | null = null;
  onerror: (() => void) | null = null;
  readonly asked: BackupQuestion[] = [];
  postMessage(question: BackupQuestion) {
    this.asked.push(question);
  }
  /** Answers the newest question of a kind. */
  answer(kind: BackupQuestion["ask"]["do"], answer: Omit<BackupAnswer, "id">) {
    const { id } = this.asked.filter(({ ask }) => ask.do === kind).pop()!;
    this.onmessage!({ data: { id, ...answer } });
    return new Promise((heard) => setImmediate(heard));
  }
}

interface Is {
  readonly clock: Clock;
  readonly backup: Backup;
  readonly workers: readonly Worker[];
  /** Keeps a record, and tells how long that was waited for. */
  readonly keptMS: (meanwhile?: () => void) => Promise<number>;
}

function withWorker(job: (is: Is) => Promise<void>): Promise<void> {
  const clock = new Clock();
  const workers: Worker[] = [];
  class Made extends Worker {
    constructor() {
      super();
      workers.push(this);
    }
  }
  return withGlobals({ ...clock.globals, Worker: Made }, async () => {
    const backup = new Backup("headcut");
    const keptMS = async (meanwhile?: () => void) => {
      const began = clock.nowMS;
      let ended: number | undefined;
      void backup.keep([{ key: "draft/x", value: 1 }]).then(() => (ended = clock.nowMS));
      await clock.settle();
      meanwhile?.();
      await clock.settle();
      while (ended === undefined && (await clock.next(began + 60_000)));
      return ended! - began;
    };
    await job({ clock, backup, workers, keptMS });
    await clock.end();
  });
}

test("what is saved waits for its copy a moment at most, and longer while the copy is being opened", () =>
  withWorker(async ({ backup, workers, keptMS }) => {
    await backup.keep([]);
    assert.equal(workers.length, 0, "there is nothing to copy");
    assert.equal(await keptMS(), 2_000);
    const [worker] = workers;
    assert.deepEqual(
      worker!.asked.map(({ ask }) => ask.do),
      ["open", "keep"],
    );
    await worker!.answer("open", {});
    assert.equal(await keptMS(), 150);
    assert.equal(await keptMS(() => void worker!.answer("keep", {})), 0, "it is copied");
    assert.equal(await keptMS(() => void worker!.answer("keep", { failed: "no room" })), 0, "it cannot be");
    assert.equal(workers.length, 1);
  }));

test("where there is no copy nothing waits for it", () =>
  withWorker(async ({ backup, workers, keptMS }) => {
    backup.begin();
    await workers[0]!.answer("open", { failed: "refused" });
    assert.equal(await keptMS(), 0);
    workers[0]!.onerror!();
    assert.equal(await keptMS(), 0, "the worker has ended");
    assert.equal(workers.length, 2, "another is tried");
    await workers[1]!.answer("open", {});
    assert.equal(await keptMS(), 150);
  }));

test("a copy that was let go is opened again when it is needed", () =>
  withWorker(async ({ backup, workers, keptMS }) => {
    backup.begin();
    backup.close();
    assert.deepEqual(workers[0]!.asked.pop()?.ask, { do: "close" });
    assert.equal(await keptMS(), 2_000, "the next one is being opened");
    await workers[1]!.answer("open", {});
    assert.equal(await keptMS(), 150);
  }));

test("a worker that does not answer at all is taken for one without a copy after a while", () =>
  withWorker(async ({ clock, backup, workers }) => {
    const answered: unknown[] = [];
    const ask = () => {
      for (const asked of [backup.bytes("photo/a"), backup.all(), backup.keys(), backup.count(), backup.giveUpBytes()])
        void asked.then((said) => answered.push(said));
    };
    ask();
    await clock.pass(14_999);
    assert.deepEqual(answered, []);
    await clock.pass(1);
    const nothing = [undefined, [], [], null, false];
    assert.deepEqual(answered.splice(0), nothing);
    ask();
    for (const kind of ["bytes", "all", "keys", "count", "give up bytes"] as const) void workers[0]!.answer(kind, { failed: "damaged" });
    await clock.settle();
    assert.deepEqual(answered, nothing);
  }));
