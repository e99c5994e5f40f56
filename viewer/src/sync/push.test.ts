import assert from "node:assert/strict";
import test from "node:test";
import type { Outbox, Receipt } from "../storage/store.ts";
import type { Connection } from "./connection.ts";
import { ConnectionLost } from "./errors.ts";
import { Load } from "./frames.ts";
import { push } from "./push.ts";
import { offerAgain } from "./resend.ts";

const text = (seq: number): string => JSON.stringify({ deviceSeq: seq });
const id = (seq: number): string => `e-${seq}`;
const taken = (seq: number): Receipt => ({ id: id(seq), n: seq, highSeq: seq }) as Receipt;

/** An outbox of entries 1 to count, and a server that answers each frame in turn, when it is waited for. */
function line(count: number, limits: { entries: number; bytes: number }, answer: (seq: number) => Receipt = taken) {
  let left = Array.from({ length: count }, (_, i) => i + 1);
  const frames: number[][] = [];
  let unanswered = 0,
    most = 0,
    least = Infinity; // while there was more to send
  const outbox = {
    waiting: (_: string, atMost: number, atMostBytes: number, skip: ReadonlySet<string> = new Set()) => {
      const ready: { id: string; text: string }[] = [];
      let bytes = 0;
      for (const seq of left) {
        if (skip.has(id(seq))) continue;
        bytes += text(seq).length + 1;
        if (ready.length === atMost || bytes > atMostBytes) break;
        ready.push({ id: id(seq), text: text(seq) });
      }
      return Promise.resolve(ready);
    },
    settle: (_: string, receipts: readonly Receipt[]) => {
      const done = new Set(receipts.map((r) => r.id));
      left = left.filter((seq) => !done.has(id(seq)));
      return Promise.resolve();
    },
  };
  const talk = {
    welcome: { limits },
    push: (_: string, texts: readonly string[]) => {
      const seqs = texts.map((t) => (JSON.parse(t) as { deviceSeq: number }).deviceSeq);
      frames.push(seqs);
      unanswered += seqs.length;
      most = Math.max(most, unanswered);
      return {
        next: () => {
          if (frames.flat().length < count) least = Math.min(least, unanswered);
          unanswered -= seqs.length;
          return Promise.resolve({ type: "receipts", push: 1, property: "p", receipts: seqs.map(answer) });
        },
      };
    },
  };
  const load = new Load();
  return {
    load,
    frames,
    left: () => left,
    most: () => most,
    least: () => least,
    go: () => push(talk as unknown as Connection, outbox as unknown as Outbox, "p", load, () => undefined),
  };
}

test("all is sent in order and once, in whole frames, with no more unanswered than the server allows", async () => {
  for (const [count, inFrame, entries] of [
    [1, 100, 256],
    [100, 100, 256],
    [256, 64, 256],
    [700, 100, 256],
    [700, 64, 256],
    [50, 20, 20],
    [9, 1, 3],
  ] as const) {
    const l = line(count, { entries, bytes: 1 << 20 });
    l.load.entries = inFrame;
    l.load.through = () => undefined; // keeps its size
    assert.deepEqual(await l.go(), { answered: true, gap: false });
    const what = `${count} entries, ${inFrame} in a frame, ${entries} allowed`;
    assert.deepEqual(l.left(), [], what);
    assert.deepEqual(
      l.frames.flat(),
      Array.from({ length: count }, (_, i) => i + 1),
      what,
    );
    assert.ok(l.most() <= entries, `${what}: ${l.most()} were unanswered`);
    const full = Math.floor(entries / inFrame) * inFrame;
    assert.ok(l.least() >= full, `${what}: only ${l.least()} were on their way while there was more to send`);
    assert.ok(l.frames.length <= Math.ceil(count / inFrame) + Math.ceil(count / entries), `${what}: ${l.frames.length} frames`);
  }
  const slow = line(10, { entries: 256, bytes: 3 * (text(1).length + 1) });
  await slow.go();
  assert.ok(slow.most() <= 3, `${slow.most()} entries were unanswered where bytes for 3 are allowed`);
  assert.deepEqual(await line(0, { entries: 256, bytes: 1 }).go(), { answered: false, gap: false });
});

test("a receipt settles what was sent, refused too, and no other", async () => {
  const unread = line(3, { entries: 256, bytes: 1 << 20 }, (seq) =>
    seq === 2 ? ({ id: "", refused: "cannot be read", highSeq: 0 } as Receipt) : taken(seq),
  );
  assert.deepEqual(await unread.go(), { answered: true, gap: false });
  assert.deepEqual(unread.left(), [], "what the server could not read is settled under its own id");

  const foreign = line(3, { entries: 256, bytes: 1 << 20 }, (seq) => taken(seq + 1));
  await assert.rejects(foreign.go(), ConnectionLost);
  assert.deepEqual(foreign.left(), [1, 2, 3]);

  const behind = line(3, { entries: 256, bytes: 1 << 20 }, (seq) => ({ ...taken(seq), highSeq: seq - 1 }));
  assert.deepEqual(await behind.go(), { answered: true, gap: true });
  const cloned = line(2, { entries: 256, bytes: 1 << 20 }, (seq) => ({ ...taken(seq), cloned: true }));
  await assert.rejects(cloned.go(), /another phone records under this phone's device number/);
});

test("a line that breaks before anything is answered is given less, and one that breaks later is not", async () => {
  for (const [answered, want] of [
    [0, 50],
    [1, 100],
  ] as const) {
    let seen = 0;
    const l = line(200, { entries: 100, bytes: 1 << 20 }, (seq) => {
      if (seen++ >= answered * 100) throw new ConnectionLost("it fell silent", false);
      return taken(seq);
    });
    await assert.rejects(l.go(), /fell silent/);
    assert.equal(l.load.entries, want);
  }
  const refuses = line(1, { entries: 100, bytes: 1 << 20 }, () => {
    throw new Error("the disk is full");
  });
  await assert.rejects(refuses.go(), /disk/);
  assert.equal(refuses.load.entries, 100, "it was not the line");
});

test("what the server lacks is asked for in pieces", async () => {
  const own = Array.from({ length: 2345 }, (_, i) => id(i + 1));
  const asked: number[] = [],
    offered: string[] = [];
  let resendDone = 0;
  const talk = {
    ask: ({ ids }: { ids: readonly string[] }) => {
      asked.push(ids.length);
      return { next: () => Promise.resolve({ type: "lacks", ids: ids.filter((one) => one.endsWith("7")) }) };
    },
  };
  const outbox = {
    acknowledged: () => Promise.resolve(own),
    offerAgain: (_: string, lacking: readonly string[], of: readonly string[]) => {
      assert.ok(lacking.every((one) => of.includes(one)));
      return Promise.resolve(void offered.push(...lacking));
    },
    resendDone: () => Promise.resolve(void resendDone++),
  };
  const lacking = own.filter((one) => one.endsWith("7"));
  await offerAgain(talk as unknown as Connection, outbox as unknown as Outbox, "p");
  assert.deepEqual(offered, lacking);
  assert.deepEqual(asked, [1000, 1000, 345]);
  assert.equal(resendDone, 1);
});
