// What is made of raw fixes: their age, their mean, and the compass. No browser is needed.

import assert from "node:assert/strict";
import test from "node:test";
import { age, isFresh, noClocks, oldMS } from "./age.ts";
import { compassDeg } from "./compass.ts";
import { metresBetween, moved } from "../base/plane.ts";
import { headingOf } from "./heading.ts";
import { meanOf, noMean, taken } from "./mean.ts";
import { type RawFix, rawFix } from "./fix.ts";

const s = 1000,
  hour = 3600 * s;

/** Ages, in seconds, of fixes given as [fix time, heard at]. */
function ages(heard: readonly (readonly [number, number])[]): number[] {
  let clocks = noClocks;
  return heard.map(([at, heardAt]) => {
    const judged = age(clocks, at, heardAt);
    clocks = judged.clocks;
    return judged.ageMS / s;
  });
}

test("age of fixes", () => {
  const t = 1.7e12;
  for (const [name, heard, old] of [
    [
      "live",
      [
        [t, t + 200],
        [t + s, t + s + 150],
      ],
      [false, false],
    ],
    [
      "last-known-first",
      [
        [t - 10 * 60 * s, t],
        [t + s, t + s + 200],
      ],
      [true, false],
    ],
    [
      "phone-an-hour-ahead",
      [
        [t, t + hour],
        [t + s, t + hour + s],
      ],
      [true, false],
    ],
    [
      "phone-an-hour-behind",
      [
        [t, t - hour],
        [t + s, t - hour + s],
      ],
      [false, false],
    ],
    [
      "same-fix-again",
      [
        [t, t],
        [t, t + 30 * s],
      ],
      [false, true],
    ],
    [
      "two-old-ones-at-once",
      [
        [t, t],
        [t + 60 * s, t + 600 * s],
        [t + 61 * s, t + 600 * s + 1],
      ],
      [false, true, true],
    ],
    [
      "old-then-live",
      [
        [t, t],
        [t + 60 * s, t + 600 * s],
        [t + 601 * s, t + 601 * s],
      ],
      [false, true, false],
    ],
    [
      "old-then-later-by-less-than-half-the-time-between",
      [
        [t, t],
        [t + 60 * s, t + 600 * s],
        [t + 62 * s, t + 602.9 * s],
      ],
      [false, true, false],
    ],
    [
      "old-then-later-by-half-the-time-between",
      [
        [t, t],
        [t + 60 * s, t + 600 * s],
        [t + 62 * s, t + 603 * s],
      ],
      [false, true, true],
    ],
    [
      "clock-set-back-a-day",
      [
        [t, t],
        [t + s - 24 * hour, t + s],
        [t + 2 * s - 24 * hour, t + 2 * s],
      ],
      [false, true, false],
    ],
    [
      "clock-set-on-a-day",
      [
        [t, t],
        [t + s + 24 * hour, t + s],
        [t + 2 * s + 24 * hour, t + 2 * s],
      ],
      [false, false, false],
    ],
  ] as const) {
    const got = ages(heard);
    assert.deepEqual(
      got.map((a) => a * s > oldMS),
      [...old],
      `${name}: ages ${got} s`,
    );
  }
});

test("a fix is fresh for five seconds", (t) => {
  t.mock.method(performance, "now", () => 60_000);
  const taken = (agoMS: number) => ({ takenMS: performance.timeOrigin + 60_000 - agoMS });
  assert.deepEqual(
    [0, 5_000, 5_001].map((ms) => isFresh(taken(ms))),
    [true, true, false],
  );
});

const start = { lon: 146.3, lat: -25.5 };
const fixAt = (eastM: number, northM: number, accuracyM: number, heightM?: number): RawFix => ({
  ...moved(start, eastM, northM),
  accuracyM,
  atMS: 0,
  ...(heightM !== undefined && { heightM }),
});

test("mean of fixes", () => {
  for (const [name, fixes, want] of [
    ["one", [fixAt(0, 0, 4, 310)], { east: 0, north: 0, accuracyM: 4, heightM: 310 }],
    ["equal-accuracy", [fixAt(0, 0, 5), fixAt(4, 2, 5)], { east: 2, north: 1, accuracyM: 5, heightM: undefined }],
    // Weights 1/4 and 1/16: four parts in five to the better; √(2 / (5/16)) = 2.530.
    ["better-weighs-more", [fixAt(0, 0, 2, 300), fixAt(5, 0, 4, 310)], { east: 1, north: 0, accuracyM: 2.53, heightM: 302 }],
    // Two fixes 12 m apart that claim 4 m each: the scatter, 6 m, is believed.
    ["scatter", [fixAt(0, 0, 4), fixAt(12, 0, 4)], { east: 6, north: 0, accuracyM: 6, heightM: undefined }],
  ] as const) {
    const got = meanOf((fixes as readonly RawFix[]).reduce(taken, noMean))!;
    const off = metresBetween(moved(start, want.east, want.north), got);
    assert.ok(off < 0.001, `${name}: mean is ${off} m from ${want.east}, ${want.north}`);
    assert.ok(Math.abs(got.accuracyM - want.accuracyM) < 0.002, `${name}: accuracy ${got.accuracyM}, want ${want.accuracyM}`);
    assert.ok(
      want.heightM === undefined ? got.heightM === undefined : Math.abs(got.heightM! - want.heightM) < 0.001,
      `${name}: height ${got.heightM}, want ${want.heightM}`,
    );
  }
  assert.equal(meanOf(noMean), null);
});

test("a hundred fixes claim no more than one", () => {
  const fixes = Array.from({ length: 100 }, () => fixAt(0, 0, 5));
  assert.ok(Math.abs(meanOf(fixes.reduce(taken, noMean))!.accuracyM - 5) < 1e-9);
});

test("a lone fix gives way to the next one elsewhere", () => {
  const alone = taken(noMean, fixAt(0, 0, 4));
  assert.deepEqual(taken(alone, fixAt(1000, 0, 23)).fixes, [fixAt(1000, 0, 23)]);
  const two = taken(alone, fixAt(1, 0, 4));
  assert.deepEqual(meanOf(taken(two, fixAt(1000, 0, 23))), meanOf(two), "one fix outweighed two");
});

test("a fix elsewhere is put aside, three start the mean again", () => {
  const here = [fixAt(0, 0, 3), fixAt(1, 0, 3), fixAt(0, 1, 3)].reduce(taken, noMean);
  const astray = taken(here, fixAt(80, 0, 3));
  assert.deepEqual(meanOf(astray), meanOf(here), "one fix 80 m off moved the mean");
  assert.equal(taken(astray, fixAt(0, 0, 3)).aside.length, 0, "a fix at home did not forget the one astray");
  const away = [fixAt(81, 0, 3), fixAt(82, 0, 3)].reduce(taken, astray);
  const off = metresBetween(meanOf(away)!, moved(start, 81, 0));
  assert.ok(
    off < 0.01 && away.fixes.length === 3,
    `after three fixes 80 m off the mean is ${off} m from them, of ${away.fixes.length} fixes`,
  );
});

// An officer walks 16 m up a gully at 1.3 m/s and then stands at a toe: what is saved is the
// toe, not the mean of the walk. The receiver errs by the same few metres throughout, and
// jitters by some decimetres.
test("the mean is of where the officer stands, not of her walk", () => {
  const jitter = (i: number) => 0.15 * Math.sin(i * 2.399);
  const walks = [
    ["walking pace", 1.3, 6, 3],
    ["slowly, in a bed of stones", 0.6, 6, 3],
    ["good receiver", 1.3, 2, 3],
    ["poor receiver", 1.3, 15, 5],
  ] as const;
  for (const [how, paceM, accuracyM, standsS, bearing] of walks.flatMap((w) => [0, 45, 90, 160, 225, 300].map((b) => [...w, b] as const))) {
    const name = `${how}, towards ${bearing}°`,
      east = Math.sin((bearing * Math.PI) / 180),
      north = Math.cos((bearing * Math.PI) / 180);
    let mean = noMean,
      t = 0;
    const hear = (m: number) =>
      (mean = taken(mean, { ...fixAt(m * east + jitter(t), m * north + jitter(t + 1), accuracyM), atMS: t++ * s }));
    for (let i = 0; i < 20; i++) hear(0); // she stood where the screen was opened
    assert.equal(mean.fixes.length, 20, `${name}: standing still, ${mean.fixes.length} of 20 fixes are in the mean`);
    for (let m = paceM; m < 16; m += paceM) hear(m);
    for (let i = 0; i < standsS; i++) hear(16);
    const off = metresBetween(meanOf(mean)!, moved(start, 16 * east, 16 * north));
    assert.ok(off < 1, `${name}: after ${standsS} s at the toe the mean of ${mean.fixes.length} fixes is ${off.toFixed(1)} m from it`);
  }
});

test("raw fixes", () => {
  const coords = (more: Partial<GeolocationCoordinates>) => ({
    coords: {
      longitude: 146.3,
      latitude: -25.5,
      accuracy: 4,
      altitude: null,
      altitudeAccuracy: null,
      heading: null,
      speed: null,
      ...more,
    } as GeolocationCoordinates,
    timestamp: 5,
  });
  assert.deepEqual(rawFix(coords({})), { lon: 146.3, lat: -25.5, accuracyM: 4, atMS: 5 });
  assert.deepEqual(rawFix(coords({ altitude: 310, altitudeAccuracy: 8, heading: NaN, speed: 0 })), {
    lon: 146.3,
    lat: -25.5,
    accuracyM: 4,
    atMS: 5,
    heightM: 310,
    heightAccuracyM: 8,
    speedMps: 0,
  });
  for (const good of [{ latitude: 90 }, { latitude: -90 }, { longitude: 180 }, { longitude: -180 }])
    assert.notEqual(rawFix(coords(good)), null, JSON.stringify(good));
  assert.equal(rawFix(coords({ accuracy: 0 }))?.accuracyM, 0.01, "no receiver is so sure");
  for (const bad of [{ latitude: NaN }, { latitude: 91 }, { longitude: 181 }, { accuracy: NaN }, { accuracy: -1 }]) {
    assert.equal(rawFix(coords(bad)), null, JSON.stringify(bad));
  }
});

// W3C Device Orientation and Motion, section A.1, gives the heading of the camera of a
// phone held upright as atan2(-cos a sin g - sin a sin b cos g, -sin a sin g + cos a sin b cos g)
// (from memory).
test("heading of a phone held up is the specification's", () => {
  const rad = Math.PI / 180;
  for (const [a, b, g] of [
    [0, 90, 0],
    [90, 90, 0],
    [200, 80, 10],
    [33, 100, -20],
    [310, 60, 25],
  ] as const) {
    const [A, B, G] = [a * rad, b * rad, g * rad];
    const want =
      (Math.atan2(
        -Math.cos(A) * Math.sin(G) - Math.sin(A) * Math.sin(B) * Math.cos(G),
        -Math.sin(A) * Math.sin(G) + Math.cos(A) * Math.sin(B) * Math.cos(G),
      ) /
        rad +
        360) %
      360;
    const got = compassDeg(a, b, g, 0);
    assert.ok(Math.abs(((got - want + 540) % 360) - 180) < 1e-6, `compassDeg(${a}, ${b}, ${g}) = ${got}, want ${want}`);
  }
});

test("heading of a phone lying flat", () => {
  for (const [a, b, g, screen, want] of [
    [0, 0, 0, 0, 0],
    [90, 0, 0, 0, 270],
    [270, 10, 0, 0, 90],
    [0, 0, 0, 90, 90],
    [0, 0, 0, 270, 270],
  ] as const) {
    const got = compassDeg(a, b, g, screen);
    assert.ok(Math.abs(((got - want + 540) % 360) - 180) < 0.5, `compassDeg(${a}, ${b}, ${g}, ${screen}) = ${got}, want ${want}`);
  }
});

test("events that count from nowhere give no heading", () => {
  assert.equal(headingOf({ absolute: false, alpha: 10, beta: 0, gamma: 0 }, 0), null);
  const whole = { absolute: true, alpha: 0, beta: 0, gamma: 0 };
  assert.equal(headingOf(whole, 0)?.bearingDeg, 0);
  for (const lacks of ["alpha", "beta", "gamma"]) assert.equal(headingOf({ ...whole, [lacks]: null }, 0), null, lacks);
  assert.deepEqual(headingOf({ ...whole, webkitCompassHeading: 0, webkitCompassAccuracy: 0 }, 90), { bearingDeg: 90, accuracyDeg: 0 });
  assert.deepEqual(headingOf({ absolute: false, alpha: 1, beta: 0, gamma: 0, webkitCompassHeading: 75, webkitCompassAccuracy: 12 }, 0), {
    bearingDeg: 75,
    accuracyDeg: 12,
  });
  assert.equal(headingOf({ absolute: false, alpha: 1, beta: 0, gamma: 0, webkitCompassHeading: -1 }, 0), null);
  assert.deepEqual(headingOf({ ...whole, webkitCompassHeading: 75, webkitCompassAccuracy: -1 }, 0), { bearingDeg: 75 }, "it does not know");
});

test("the mean of a walk is never farther behind than it claims to be good", () => {
  for (const [name, speedMps, mostM] of [
    ["no-speed", undefined, 4],
    ["speed", 1.3, 0.01],
  ] as const) {
    let mean = noMean,
      worstM = 0;
    for (let second = 0; second < 120; second++) {
      const at = fixAt(1.3 * second, 0, 4);
      mean = taken(mean, { ...at, ...(speedMps !== undefined && { speedMps }) });
      worstM = Math.max(worstM, metresBetween(meanOf(mean)!, at));
      assert.ok(
        worstM <= Math.max(mostM, 0),
        `${name}: after ${second} s the mean is ${worstM.toFixed(1)} m behind, and claims ±${meanOf(mean)!.accuracyM.toFixed(1)} m`,
      );
    }
  }
});

test("a receiver's noise at rest does not end the mean", () => {
  // 68 per cent of fixes within their accuracy, as the standard has it: 2.65 m a side for 4 m.
  let mean = noMean,
    seed = 7;
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  const normal = () => Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random());
  let drift = [0, 0];
  for (let second = 0; second < 60; second++) {
    drift = drift.map((d) => 0.98 * d + Math.sqrt(1 - 0.98 ** 2) * 2.65 * normal()); // fixes a second apart share most of their error
    mean = taken(mean, { ...fixAt(drift[0]!, drift[1]!, 4), speedMps: 0.2 });
  }
  assert.ok(mean.fixes.length > 5, `${mean.fixes.length} fixes in the mean`);
});

test("fixes of one moment are no walk, however they lie", () => {
  const heard = (everyS: number) =>
    Array.from({ length: 6 }, (_, i) => ({ ...fixAt(0, i, 6), atMS: i * everyS * s })).reduce(taken, noMean).fixes.length;
  assert.equal(heard(0), 6);
  assert.equal(heard(-1), 6, "a clock that runs back");
  assert.equal(heard(10), 6, "a metre in ten seconds is drift");
  assert.equal(heard(1), 1, "a metre a second is a walk");
});

test("what is no walk: too few steps, a step that is too short, or one to the side", () => {
  const heard = (...places: readonly (readonly [number, number])[]) =>
    places.map(([east, north], i) => ({ ...fixAt(east, north, 6), atMS: i * s })).reduce(taken, noMean);
  assert.equal(heard([0, 0], [1, 0], [2, 0], [3, 0]).fixes.length, 4, "three steps");
  assert.equal(heard([0, 0], [1, 0], [2, 0], [3, 0], [4, 0]).fixes.length, 1, "four steps");
  assert.equal(heard([0, 0], [1, 0], [2, 0], [2.1, 0], [3, 0]).fixes.length, 5, "one of them a decimetre");
  assert.equal(heard([0, 0], [1, 0], [1.5, 1], [2, 0], [3, 0]).fixes.length, 5, "one of them to the side");
});

test("each place where the mean began again has another number", () => {
  const speed = (speedMps: number) => ({ ...fixAt(0, 0, 4), speedMps });
  assert.deepEqual(
    [0.69, 0.7].map((speedMps) => [fixAt(0, 0, 4), speed(speedMps)].reduce(taken, noMean).fixes.length),
    [2, 1],
  );
  const stands = [fixAt(0, 0, 4), fixAt(500, 0, 4), fixAt(0, 0, 4)].map(
    (
      (mean) => (fix: RawFix) =>
        (mean = taken(mean, fix)).stand
    )(noMean),
  );
  assert.deepEqual(stands, [1, 2, 3]);
});

test("a jump that nobody runs is the receiver's, a walk or a drive is hers", () => {
  const jumped = (jumpM: number, afterS: number, accuracyM = 4) => {
    const at = (m: number, sec: number): RawFix => ({ ...fixAt(m, 0, accuracyM), atMS: sec * s });
    const before = [0, 1, 2, 3].map((sec) => at(0, sec)).reduce(taken, noMean);
    const since = [0, 1, 2].map((sec) => at(jumpM, 3 + afterS + sec)).reduce(taken, before);
    assert.equal(since.fixes.length, 3, `${jumpM} m in ${afterS} s: the mean has not begun again`);
    return since.jumped;
  };
  assert.equal(jumped(60, 1), true, "60 m from one fix to the next");
  assert.equal(jumped(60, 1, 8), true);
  assert.equal(jumped(60, 10), true, "after ten seconds without a fix, 52 m beyond what both may be out");
  assert.equal(jumped(60, 11), false);
  assert.equal(jumped(17, 2), false, "9 m beyond what both may be out, as far as she runs");
  assert.equal(jumped(19, 2), true);
  assert.equal(jumped(60, 30), false, "driven there with the phone in a pocket");
});

test("a jump is told of the mean that began with it, and of no later one", () => {
  const here = [0, 1, 2, 3].map((sec) => ({ ...fixAt(0, 0, 4), atMS: sec * s })).reduce(taken, noMean);
  const there = [4, 5, 6].map((sec) => ({ ...fixAt(60, 0, 4), atMS: sec * s })).reduce(taken, here);
  const walked = taken(there, { ...fixAt(61, 0, 4), atMS: 7 * s, speedMps: 1 });
  assert.deepEqual([here.jumped, there.jumped, walked.jumped], [false, true, false]);
});
