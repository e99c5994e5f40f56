// The one watch of the page, and what those who look on are told.

import assert from "node:assert/strict";
import test, { type TestContext } from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { metresBetween, moved } from "../base/plane.ts";
import type { Fix } from "./fix.ts";
import { isRough, receiver, roughWords } from "./receiver.ts";

const start = { lon: 146.3, lat: -25.5 };
const clockMS = () => performance.timeOrigin + performance.now();

/** A phone whose receiver says what the test has it say. */
function phone() {
  let begun = 0,
    hears: (p: unknown) => void = () => undefined,
    fails: (e: unknown) => void = () => undefined;
  const ended: number[] = [];
  const source = {
    watchPosition: (heard: typeof hears, failed: typeof fails) => {
      [hears, fails] = [heard, failed];
      return ++begun;
    },
    clearWatch: (id: number) => void ended.push(id),
  } as unknown as Geolocation;
  return {
    source,
    begun: () => begun,
    ended,
    says: (eastM = 0, accuracy = 4, oldMS = 0, altitude: number | null = null) => {
      const { lon: longitude, lat: latitude } = moved(start, eastM, 0);
      hears({ coords: { longitude, latitude, accuracy, altitude }, timestamp: clockMS() - oldMS });
    },
    nowhere: () => hears({ coords: { longitude: 500, latitude: 0, accuracy: 4 }, timestamp: clockMS() }),
    fails: (code: number) => fails({ code, PERMISSION_DENIED: 1 }),
  };
}

/** No time passes but what the test lets pass, and nothing waits for the browser's question to the officer. */
function stillClocks(t: TestContext): (laterMS: number) => void {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  let now = performance.now();
  t.mock.method(performance, "now", () => now);
  return (laterMS) => void (now += laterMS);
}

const page = () => Object.assign(new EventTarget(), { visibilityState: "visible" });

test("what is wrong with the position is told, and no fix", async (t) => {
  stillClocks(t);
  await withGlobals({ document: page() }, () => {
    const p = phone(),
      told: string[] = [];
    let fixes = 0;
    receiver(p.source).watch(
      () => void fixes++,
      (what) => void told.push(what),
    );
    for (const [act, want] of [
      [() => p.nowhere(), "GPS gave a position that is not on the earth. Wait for the next one."],
      [() => p.says(0, 4, 89_000), "The phone gave a position 89 seconds old. Waiting for a fresh one: stand in the open."],
      [() => p.says(0, 4, 90_000), "The phone gave a position 2 minutes old. Waiting for a fresh one: stand in the open."],
      [() => p.says(0, 4, 5_399_000), "The phone gave a position 90 minutes old. Waiting for a fresh one: stand in the open."],
      [() => p.says(0, 4, 5_400_000), "The phone gave a position 2 hours old. Waiting for a fresh one: stand in the open."],
      [
        () => p.says(0, 501),
        "The phone gives its position only to within 501 m. Allow precise location for this page in the phone's settings.",
      ],
      [() => p.fails(2), "No GPS position. Turn location on, and stand in the open."],
      [() => p.fails(3), "No position yet. Stand in the open, away from gully walls and trees."],
    ] as const) {
      act();
      assert.equal(told.pop(), want);
    }
    assert.deepEqual([fixes, p.ended], [0, []]);
    p.says(0, 500);
    p.says(0, 4, 15_000);
    assert.deepEqual([fixes, told], [2, []]);
    p.fails(1);
    assert.equal(told.pop(), "Location is blocked for this page. Allow it in the browser's settings.");
    assert.deepEqual(p.ended, [1], "the watch is dead");
  });
});

test("positions that follow each other as fast as they come are live, an hour apart from the phone's clock as they may be", async (t) => {
  const pass = stillClocks(t);
  await withGlobals({ document: page() }, () => {
    const p = phone(),
      told: string[] = [];
    receiver(p.source).watch(
      (fix) => void told.push(`${fix.accuracyM} m`),
      (what) => void told.push(what.slice(0, 30)),
    );
    for (const accuracyM of [4, 5, 6]) {
      p.says(0, accuracyM, 3_600_000);
      pass(1_000);
    }
    assert.deepEqual(told, ["The phone gave a position 60 m", "5 m", "6 m"]);
  });
});

test("a browser that gives no position says so, and nothing is watched", async () => {
  await withGlobals({ document: page() }, () => {
    const told: string[] = [];
    const none = { geolocation: undefined };
    return withGlobals({ navigator: none }, () => {
      receiver(undefined).watch(
        () => undefined,
        (what) => void told.push(what),
      );
      assert.deepEqual(told, ["This browser gives no position. Use a phone with GPS."]);
    });
  });
});

test("a rough position passes once the officer takes it", async (t) => {
  stillClocks(t);
  await withGlobals({ document: page() }, () => {
    const p = phone(),
      phones = receiver(p.source);
    const heard: number[] = [];
    phones.watch(
      (fix) => void heard.push(fix.accuracyM),
      () => undefined,
    );
    p.says(0, 3000);
    phones.acceptRough(true);
    p.says(0, 2000);
    phones.acceptRough(false);
    p.says(0, 1000);
    assert.deepEqual(heard, [2000]);
  });
  assert.match(roughWords(949), / 949 m\./);
  assert.match(roughWords(1200), / 1\.2 km\./);
  assert.match(roughWords(9499), / 9\.5 km\./);
  assert.match(roughWords(9500), / 10 km\./);
  assert.ok(isRough(roughWords(1200)) && !isRough("No position yet."));
});

test("who looks on is given each fix as it came, or the mean of where the phone stands", async (t) => {
  stillClocks(t);
  await withGlobals({ document: page() }, () => {
    const p = phone(),
      phones = receiver(p.source);
    let single: Fix | undefined, mean: Fix | undefined;
    const quiet = () => undefined;
    const stop = phones.watch((fix) => (single = fix), quiet);
    const stopMean = phones.average((fix) => (mean = fix), quiet);
    p.says(0, 4, 2_000, 310);
    assert.ok(Math.abs(single!.takenMS - (clockMS() - 2_000)) < 1_000, "it was taken two seconds ago");
    assert.deepEqual([single!.accuracyM, single!.heightM, single!.count, single!.newest?.heightM], [4, 310, 1, 310]);
    assert.equal(single!.at.getTime(), Math.floor(single!.newest!.atMS));
    p.says(2, 4, 1_000);
    assert.equal("heightM" in single!, false, "what the phone did not give is absent");
    assert.deepEqual([mean!.count, mean!.stand, mean!.accuracyM, mean!.unsure], [2, 1, 4, false]);
    assert.ok(Math.abs(metresBetween(start, mean!) - 1) < 0.01);
    const newest = mean!.newest;
    p.says(1, 4);
    assert.notEqual(mean!.newest, newest, "a fix that is taken in makes the mean newer");
    const { newest: before, at, takenMS } = mean!;
    p.says(900, 4);
    assert.deepEqual(
      [mean!.count, mean!.newest, mean!.at, mean!.takenMS, mean!.unsure],
      [3, before, at, takenMS, true],
      "one that was put aside makes it no newer",
    );
    stop();
    assert.deepEqual(p.ended, [1], "the other looks on; the first watch had said nothing when it came");
    stopMean();
    assert.deepEqual(p.ended, [1, 2]);
  });
});

test("the browser's question is pointed out while it is open, to who still looks on", async (t) => {
  stillClocks(t);
  const settle = () => new Promise((done) => setImmediate(done));
  const asks = async (
    state: string | undefined,
    meanwhile: (phones: ReturnType<typeof receiver>, stop: () => void) => void = () => undefined,
  ) => {
    const told: string[] = [];
    const query = () => (state === undefined ? Promise.reject(new Error("it does not say")) : Promise.resolve({ state }));
    await withGlobals({ document: page(), navigator: { permissions: { query } } }, async () => {
      const phones = receiver(phone().source);
      const stop = phones.watch(
        () => undefined,
        (what) => void told.push(what),
      );
      t.mock.timers.tick(2_999);
      await settle();
      assert.deepEqual(told, []);
      meanwhile(phones, stop);
      t.mock.timers.tick(1);
      await settle();
    });
    return told;
  };
  const words = "The browser asks whether this page may use your location: allow it.";
  assert.deepEqual(await asks("prompt"), [words]);
  assert.deepEqual(await asks("granted"), []);
  assert.deepEqual(await asks(undefined), []);
  assert.deepEqual(await asks("prompt", (phones) => phones.again()), [], "that watch is no more; the next asks for itself");
  assert.deepEqual(await asks("prompt", (_, stop) => stop()), [], "nobody looks on");
});

test("who comes later is given the fix that is known while it is fresh, else a new watch", async (t) => {
  const pass = stillClocks(t);
  await withGlobals({ document: page() }, async () => {
    const p = phone(),
      phones = receiver(p.source);
    const quiet = () => undefined;
    phones.listen(quiet, quiet);
    assert.equal(p.begun(), 1);
    const given = async () => {
      let n = 0;
      phones.listen(() => void n++, quiet)();
      phones.listen(() => void n++, quiet);
      await Promise.resolve();
      return n;
    };
    p.says(0, 4, 14_000);
    assert.deepEqual([await given(), p.begun()], [1, 1], "not to one that has left meanwhile");
    pass(999);
    assert.deepEqual([await given(), p.begun()], [1, 1]);
    pass(1);
    assert.deepEqual([await given(), p.begun()], [0, 3]);
  });
});

// The receiver looks on the page through document alone: whether it is seen, and when that changes.
test("the watch is begun again when the page is seen again, and only then", async (t) => {
  stillClocks(t);
  const page = Object.assign(new EventTarget(), { visibilityState: "visible" });
  await withGlobals({ document: page }, async () => {
    let begun = 0,
      ended = 0;
    let hears: (p: unknown) => void = () => undefined;
    const source = {
      watchPosition: (heard: typeof hears) => {
        hears = heard;
        return ++begun;
      },
      clearWatch: () => void ended++,
    } as unknown as Geolocation;
    const phone = receiver(source);
    const turns = (state: string) => {
      page.visibilityState = state;
      page.dispatchEvent(new Event("visibilitychange"));
      return [begun, ended];
    };
    assert.deepEqual(turns("hidden"), [0, 0]);
    assert.deepEqual(turns("visible"), [0, 0], "nobody listens");
    const stop = phone.listen(
      () => undefined,
      () => undefined,
    );
    assert.deepEqual(turns("hidden"), [1, 0], "it watches on while the page is hidden");
    assert.deepEqual(turns("visible"), [2, 1]);
    hears({ coords: { longitude: 146.3, latitude: -25.5, accuracy: 4 }, timestamp: Date.now() });
    let told = 0;
    const other = phone.listen(
      () => told++,
      () => undefined,
    );
    await Promise.resolve();
    assert.deepEqual([told, begun], [1, 2], "who looks on later is given the fix that is known, and no watch is begun for it");
    other();
    assert.equal(ended, 1);
    stop();
    assert.deepEqual(turns("visible"), [2, 2], "nobody listens any more");
  });
});

test("how rough a position is, is said in metres to a kilometre, and to tenths of it to ten", () => {
  for (const [m, words] of [
    [2, "2 m"],
    [949.4, "949 m"],
    [950, "0.9 km"],
    [2500, "2.5 km"],
    [9499, "9.5 km"],
    [9500, "10 km"],
  ] as const)
    assert.ok(roughWords(m).includes(`within ${words}. `), roughWords(m));
});
