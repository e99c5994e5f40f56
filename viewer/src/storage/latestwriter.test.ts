import assert from "node:assert/strict";
import test from "node:test";
import { LatestWriter } from "./latestwriter.ts";

/** Resolves once all that waits for nothing but promises has been done. */
const settled = () => new Promise((done) => setImmediate(done));

test("what is given at any moment of a write is written", async () => {
  // A value is given so many microtasks after the word that the one before it is kept.
  for (let later = 0; later < 12; later++) {
    const written: number[] = [];
    const writer: LatestWriter<number> = new LatestWriter(
      async (value) => void written.push(value),
      async (kept) => {
        if (kept !== 1) return;
        for (let i = 0; i < later; i++) await undefined;
        writer.keep(2);
      },
    );
    writer.keep(1);
    await settled();
    assert.deepEqual(written, [1, 2], `given ${later} microtasks after`);
  }
});

test("only the newest of what came meanwhile is written, and only it is told", async () => {
  const written: number[] = [],
    told: (number | null)[] = [],
    writes: (() => void)[] = [];
  const writer = new LatestWriter<number>(
    (value) => {
      written.push(value);
      return new Promise((done) => writes.push(done));
    },
    (kept) => told.push(kept),
  );
  writer.keep(1);
  await settled();
  for (const value of [2, 3, 4]) writer.keep(value);
  while (writes.length > 0) {
    writes.shift()!();
    await settled();
  }
  assert.deepEqual(written, [1, 4]);
  assert.deepEqual(told, [4]);
});

test("a write that fails is told unless a newer one follows it", async () => {
  const told: [number | null, unknown][] = [];
  const writer = new LatestWriter<number>(
    async (value) => {
      await undefined;
      if (value < 3) throw new Error(`no ${value}`);
    },
    (kept, trouble) => told.push([kept, trouble instanceof Error ? trouble.message : trouble]),
  );
  writer.keep(1);
  await settled();
  writer.keep(2);
  await undefined;
  await undefined;
  writer.keep(3);
  await settled();
  assert.deepEqual(told, [
    [null, "no 1"],
    [3, undefined],
  ]);
});

test("what is kept when it is stopped is not begun any more", async () => {
  const written: number[] = [];
  const writer = new LatestWriter<number>(
    async (value) => void written.push(value),
    () => undefined,
  );
  writer.keep(1);
  await writer.stop();
  assert.deepEqual(written, []);
  writer.keep(2);
  await new Promise((go) => setImmediate(go));
  assert.deepEqual(written, [2]);
});
