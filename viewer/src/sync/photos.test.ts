import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import type { Outbox } from "../storage/store.ts";
import type { NeverTaken, Refusal } from "./errors.ts";
import { PartSize } from "./photoparts.ts";
import { Photos } from "./photos.ts";

test("what the server never takes is kept, said, and sent again only when somebody asks", async () => {
  let sent = 0,
    status = 415;
  const fetched = globalThis.fetch;
  globalThis.fetch = (_, how) => {
    const asked = how?.method === "HEAD";
    if (!asked) sent++;
    return Promise.resolve(
      new Response(asked ? null : JSON.stringify({ path: "photo", reason: "no picture" }), {
        status: asked ? 204 : status,
        headers: { "Upload-Offset": "0", "Upload-Complete": "?0" },
      }),
    );
  };
  const outbox = {
    photosWaiting: () => Promise.resolve([{ sha: "aa", bytes: () => Promise.resolve(new ArrayBuffer(9)) }]),
  } as unknown as Outbox;
  const never = new Map<string, NeverTaken>();
  const connect = (): { photos: Photos; rest: () => Promise<void> } => {
    let changed = (): void => undefined;
    const photos = new Photos(
      {
        origin: "https://here.invalid",
        token: "t",
        outbox,
        first: () => Promise.resolve(),
        sent: () => undefined,
        broke: () => undefined,
        refused: () => undefined,
        changed: () => changed(),
      },
      new PartSize(),
      never,
    );
    return {
      photos,
      rest: () =>
        new Promise((rested) => {
          changed = rested;
          photos.goOn();
        }),
    };
  };
  const idle = async (photos: Photos): Promise<void> => {
    while (photos.busy > 0) await new Promise((r) => setTimeout(r, 0));
  };

  const one = connect();
  await one.rest();
  assert.equal(sent, 1);
  one.photos.stop();

  const two = connect();
  two.photos.goOn();
  await idle(two.photos);
  two.photos.hurry();
  await idle(two.photos);
  assert.equal(sent, 1, "sent again at the next connection");
  assert.equal(two.photos.complaint?.problem.reason, "no picture");

  two.photos.sendAll();
  await two.rest();
  assert.equal(sent, 2, "the officer asked, and it was not sent");

  status = 500; // the server's own trouble passes: the next connection tries again
  two.photos.sendAll();
  await two.rest();
  const three = connect();
  await three.rest();
  assert.equal(sent, 4);
  globalThis.fetch = fetched;
});

/** Photos that wait, on a clock, and a server that answers as it is let: what was asked when, and what was told. */
function onClock(
  job: (is: {
    clock: Clock;
    photos: Photos;
    waits: Set<string>;
    askedMS: number[];
    told: string[];
    answer: (way: () => Response | Promise<Response>) => void;
    entries: (first: Promise<unknown>) => void;
  }) => Promise<void>,
): Promise<void> {
  const clock = new Clock();
  const began = clock.nowMS;
  const askedMS: number[] = [];
  const told: string[] = [];
  const waits = new Set(["aa"]);
  let first: Promise<unknown> = Promise.resolve();
  let way = (): Response | Promise<Response> => {
    throw new TypeError("cut");
  };
  const fetch = async () => {
    askedMS.push(clock.nowMS - began);
    return way();
  };
  const outbox = {
    photosWaiting: async () => [...waits].map((sha) => ({ sha, bytes: async () => new ArrayBuffer(9) })),
    photoSent: async (sha: string) => void waits.delete(sha),
  } as unknown as Outbox;
  return withGlobals({ ...clock.globals, fetch }, async () => {
    const photos = new Photos(
      {
        ...{ origin: "https://here.invalid", token: "t", outbox },
        first: () => first,
        sent: () => told.push("sent"),
        broke: () => told.push("broke"),
        refused: (why: Refusal) => told.push(`refused: ${why.message}`),
        changed: () => told.push("rests"),
      },
      new PartSize(),
      new Map(),
    );
    await job({ clock, photos, waits, askedMS, told, answer: (to) => (way = to), entries: (to) => (first = to) });
    photos.stop();
    await clock.end();
  });
}
const has = () => new Response(null, { headers: { "Upload-Offset": "9", "Upload-Complete": "?1" } });

test("a photo that the line broke off is tried again, later with each time, and it is said when none gets through", () =>
  onClock(async ({ clock, photos, waits, askedMS, told, answer }) => {
    photos.goOn();
    await clock.pass(16_000);
    assert.deepEqual(askedMS, [0, 5_000, 15_000]);
    assert.match(String(photos.complaint?.problem.reason), /do not get through/);
    photos.goOn(); // it waits its time
    await clock.pass(184_000);
    assert.deepEqual(askedMS, [0, 5_000, 15_000, 35_000, 75_000, 135_000, 195_000]);
    assert.equal(told.filter((t) => t === "broke").length, 7);
    answer(has);
    photos.hurry();
    await clock.pass(1);
    assert.equal(askedMS[7], 200_000, "at once when somebody asks");
    assert.deepEqual([photos.complaint, waits.size, photos.busy, told.slice(-2)], [null, 0, 0, ["sent", "rests"]]);
    answer(() => {
      throw new TypeError("cut");
    });
    waits.add("bb");
    photos.goOn();
    await clock.pass(5_001);
    assert.deepEqual(askedMS.slice(8), [200_001, 205_001], "the count began again");
    assert.equal(photos.complaint, null);
    photos.stop();
    const told1 = told.length;
    await clock.pass(60_000);
    assert.deepEqual([askedMS.length, told.length], [10, told1]);
  }));

test("what the server refuses is said, and tried again only where it may take it later", async () => {
  const refuses = (status: number) => () => Response.json({ path: "photo", reason: "no" }, { status });
  for (const [status, again] of [
    [503, true],
    [500, false],
  ] as const)
    await onClock(async ({ clock, photos, askedMS, told, answer }) => {
      answer(refuses(status));
      photos.goOn();
      await clock.pass(1);
      photos.goOn();
      await clock.pass(100_000);
      assert.deepEqual(askedMS, [0], `${status}`);
      assert.equal(photos.complaint?.problem.reason, "no");
      photos.tryAgain();
      photos.goOn();
      await clock.pass(1);
      assert.equal(askedMS.length, again ? 2 : 1, `${status}`);
      assert.ok(!told.includes("broke"));
      answer(has);
      photos.hurry();
      await clock.pass(1);
      assert.equal(photos.complaint === null, again);
    });
  await onClock(async ({ clock, photos, told, answer }) => {
    answer(() => Response.json({ path: "token", reason: "is revoked" }, { status: 401 }));
    photos.goOn();
    await clock.pass(1);
    assert.deepEqual([told[0], photos.complaint], ["refused: token: is revoked", null]);
  });
});

test("two photos go at a time, once the entries are gone, and rest is told once", () =>
  onClock(async ({ clock, photos, waits, askedMS, told, answer, entries }) => {
    for (const sha of ["bb", "cc", "dd", "ee"]) waits.add(sha);
    let gone = () => {};
    entries(new Promise<void>((go) => (gone = go)));
    answer(() => new Promise((go) => setTimeout(() => go(has()), 1_000)));
    photos.goOn();
    await clock.pass(5_000);
    assert.deepEqual([askedMS, photos.busy], [[], 2]);
    gone();
    await clock.pass(10_000);
    assert.deepEqual(askedMS, [5_000, 5_000, 6_000, 6_000, 7_000]);
    assert.deepEqual(told, [...Array<string>(5).fill("sent"), "rests"]);
    photos.goOn();
    await clock.pass(1_000);
    assert.equal(told.length, 6, "nothing was to do");
  }));

test("two photos that the line breaks off together count as one failure", () =>
  onClock(async ({ clock, photos, waits, askedMS }) => {
    waits.add("bb");
    photos.goOn();
    await clock.pass(14_000);
    assert.deepEqual(askedMS, [0, 0, 5_000, 5_000]);
    await clock.pass(1_000);
    assert.deepEqual(askedMS.slice(4), [15_000, 15_000]);
  }));
