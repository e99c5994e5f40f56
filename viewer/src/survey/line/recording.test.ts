import assert from "node:assert/strict";
import test from "node:test";
import type { Fields } from "../../base/entry.ts";
import { metresBetween, moved } from "../../base/plane.ts";
import {
  type Action,
  begun,
  chosenSpot,
  type Gap,
  lastSpot,
  type Recording,
  reduce,
  resumed,
  silentMS,
  type Spot,
  spotsOf,
  type Why,
} from "./recording.ts";
import { crossing } from "./crossing.ts";
import { finished, gapWords, mostSpots } from "./finished.ts";
import { snap } from "./snap.ts";

const start = { lon: 146.3, lat: -25.5 };
const s = 1000;

const spot = (eastM: number, northM: number, atS: number, more: Partial<Spot> = {}): Spot => ({
  ...moved(start, eastM, northM),
  accuracyM: 4,
  atMS: atS * s,
  how: "walked",
  ...more,
});
const fix = (eastM: number, atS: number, northM = 0): Action => ({ do: "fix", spot: spot(eastM, northM, atS) });
const add = (eastM: number, northM = 0): Action => ({ do: "add", spot: spot(eastM, northM, 0, { how: "tapped" }) });
const run = (shape: "line" | "area", ...actions: Action[]): Recording => actions.reduce(reduce, begun(shape));
const sizes = (recording: Recording) => recording.pieces.map((p) => p.length);
const whys = (recording: Recording) => recording.gaps.map((g) => g.why);

test("what a walk records", () => {
  const walk: Action = { do: "walk" },
    pause: Action = { do: "pause" },
    hidden: Action = { do: "hidden" };
  const cases: [string, Action[], number[], string[]][] = [
    ["ten-of-ten", [walk, ...Array.from({ length: 10 }, (_, i) => fix(i * 5, i))], [10], []],
    ["standing-adds-nothing", [walk, fix(0, 0), fix(0.5, 1), fix(1, 2), fix(5, 3)], [2], []],
    ["not-before-the-walk", [fix(0, 0), fix(5, 1)], [0], []],
    ["not-while-paused", [walk, fix(0, 0), fix(5, 1), pause, fix(10, 2)], [2], []],
    ["pause-and-on-from-there", [walk, fix(0, 0), fix(5, 1), pause, walk, fix(9, 200)], [3], []],
    ["pause-and-on-elsewhere", [walk, fix(0, 0), fix(5, 1), pause, walk, fix(40, 200), fix(45, 201)], [2, 2], ["paused"]],
    ["hidden-for-a-blink", [walk, fix(0, 0), fix(5, 1), hidden, fix(8, 3)], [3], []],
    ["hidden-for-as-long-as-both-are-doubtful", [walk, fix(0, 0), fix(5, 1), hidden, fix(8, 5)], [3], []],
    ["hidden-for-longer", [walk, fix(0, 0), fix(5, 1), hidden, fix(8, 5.1)], [2, 1], ["hidden"]],
    ["at-rest-for-all-that-is-looked-back", [walk, fix(0, 0), fix(0.5, 10), fix(5, 20)], [1], []],
    ["not-at-rest-for-so-long", [walk, fix(0, 0), fix(0.5, 10), fix(5, 20.1)], [2], []],
    ["hidden-and-elsewhere-at-once", [walk, fix(0, 0), fix(5, 1), hidden, fix(60, 2)], [2, 1], ["hidden"]],
    ["hidden-and-elsewhere", [walk, fix(0, 0), fix(5, 1), hidden, fix(60, 60)], [2, 1], ["hidden"]],
    // Back where it began, but long enough away to have walked round something.
    ["hidden-and-back", [walk, fix(0, 0), fix(5, 1), hidden, fix(5.5, 60), fix(10, 61)], [2, 2], ["hidden"]],
    ["receiver-lost", [walk, fix(0, 0), fix(5, 1), fix(60, 1 + silentMS / s + 1)], [2, 1], ["no-fix"]],
    ["receiver-slow", [walk, fix(0, 0), fix(5, 1), fix(60, 1 + silentMS / s)], [3], []],
    ["hidden-for-a-blink-late", [walk, fix(0, 9e6), fix(5, 9e6 + 1), hidden, fix(8, 9e6 + 3)], [3], []],
    ["receiver-silent-at-rest", [walk, fix(0, 0), fix(5, 1), fix(9, 100)], [3], []],
    ["standing-is-not-silence", [walk, fix(0, 0), ...Array.from({ length: 30 }, (_, i) => fix(0.2, i + 1)), fix(12, 40)], [2], []],
    ["hidden-twice", [walk, fix(0, 0), fix(5, 1), hidden, fix(60, 60), hidden, fix(120, 120)], [2, 1, 1], ["hidden", "hidden"]],
    ["walk-after-taps-elsewhere", [add(0), add(10), walk, fix(100, 5)], [2, 1], ["paused"]],
  ];
  for (const [name, actions, wantSizes, wantWhys] of cases) {
    const got = run("line", ...actions);
    assert.deepEqual(sizes(got), wantSizes, `${name}: pieces of ${sizes(got)} positions, want ${wantSizes}`);
    assert.deepEqual(whys(got), wantWhys, `${name}: gaps ${whys(got)}, want ${wantWhys}`);
  }
});

test("a silence at rest is kept among the joins", () => {
  const recording = run("line", { do: "walk" }, fix(0, 0), fix(5, 1), fix(9, 100), fix(14, 101));
  assert.deepEqual(
    recording.joins.map((j) => [j.why, j.fromMS, j.toMS]),
    [["no-fix", 1 * s, 100 * s]],
  );
  assert.equal(joinsOf(finished(recording, {}, "p")[0]!)[0]!.lengthM, 4);
});

test("a position put down by hand does not bridge an untold gap, and none lies before the first", () => {
  const emptied = run("line", { do: "walk" }, fix(0, 0), { do: "hidden" }, { do: "undo" }, add(60));
  assert.deepEqual([sizes(emptied), whys(emptied)], [[1], []]);
  const recording = run("line", { do: "walk" }, fix(0, 0), fix(5, 1), { do: "hidden" }, add(60));
  assert.deepEqual([sizes(recording), whys(recording)], [[2, 1], ["hidden"]]);
});

test("take back", () => {
  const walked = run("line", { do: "walk" }, fix(0, 0), fix(5, 1), fix(10, 2));
  assert.deepEqual(sizes(reduce(walked, { do: "undo" })), [2], "in a walk the newest position goes");
  const tapped = run("line", add(0), add(10), add(20), { do: "undo" }, { do: "undo" });
  assert.deepEqual(sizes(tapped), [1]);
  const nudged = run(
    "line",
    add(0),
    add(10),
    { do: "choose", chosen: { piece: 0, spot: 0 } },
    { do: "nudge", eastM: 0, northM: 2 },
    { do: "undo" },
  );
  assert.ok(metresBetween(spotsOf(nudged)[0]!, start) < 1e-6, "the moved position is not back");
  const cleared = run("line", add(0), add(10), { do: "clear" }, { do: "undo" });
  assert.deepEqual(sizes(cleared), [2], "what was cleared is not back");
  const none = reduce(begun("line"), { do: "undo" });
  assert.deepEqual(sizes(none), [0]);
});

test("taking back over a gap leaves the gap", () => {
  const recording = run("line", { do: "walk" }, fix(0, 0), fix(5, 1), { do: "hidden" }, fix(60, 60), { do: "undo" }, fix(65, 62));
  assert.deepEqual([sizes(recording), whys(recording)], [[2, 1], ["hidden"]]);
});

test("split, join, take out", () => {
  const line = run("line", add(0), add(10), add(20), add(30), { do: "choose", chosen: { piece: 0, spot: 2 } });
  const halves = reduce(line, { do: "split" });
  assert.deepEqual([sizes(halves), whys(halves)], [[3, 2], ["split"]]);
  assert.deepEqual(sizes(reduce(halves, { do: "join", gap: 0 })), [4], "a split joined again has its position once");
  const ends = reduce({ ...line, chosen: { piece: 0, spot: 0 } }, { do: "split" });
  assert.deepEqual(sizes(ends), [4], "a line is not split at its end");
  assert.deepEqual(sizes(reduce(line, { do: "take-out" })), [3]);
  const lone = run(
    "line",
    { do: "walk" },
    fix(0, 0),
    fix(5, 1),
    { do: "hidden" },
    fix(60, 60),
    { do: "hidden" },
    fix(120, 120),
    fix(125, 121),
    { do: "choose", chosen: { piece: 1, spot: 0 } },
    { do: "take-out" },
  );
  assert.deepEqual([sizes(lone), whys(lone), lone.gaps[0]!.fromMS, lone.gaps[0]!.toMS], [[2, 2], ["hidden"], 1 * s, 120 * s]);
  const gap = (why: Why): Gap => ({ why, fromMS: 0, toMS: 0 });
  for (const [before, after, want] of [
    ["split", "hidden", "split"],
    ["hidden", "split", "split"],
    ["paused", "hidden", "hidden"],
  ] as const) {
    const pieces = [[spot(0, 0, 0), spot(5, 0, 0)], [spot(9, 0, 0)], [spot(20, 0, 0), spot(25, 0, 0)]];
    const three: Recording = { ...begun("line"), pieces, gaps: [gap(before), gap(after)], chosen: { piece: 1, spot: 0 } };
    assert.deepEqual(whys(reduce(three, { do: "take-out" })), [want], `between ${before} and ${after}`);
  }
});

const joinsOf = (f: Fields) => ((f["receiver"] as Fields)["joins"] ?? []) as { why: string; lengthM: number }[];

test("a gap is joined by the officer alone, and kept with the receiver's record: notes are the officer's", () => {
  const gap = run("line", { do: "walk" }, fix(0, 0), fix(5, 1), { do: "hidden" }, fix(60, 60), fix(65, 61), { do: "pause" });
  const open = finished(gap, {}, "p")[0]!;
  assert.equal((open["geometry"] as { type: string }).type, "MultiLineString");
  assert.equal(open["notes"], undefined);
  assert.deepEqual(
    ((open["receiver"] as Fields)["gaps"] as { why: string }[]).map((g) => g.why),
    ["hidden"],
  );
  assert.match(gapWords(gap.gaps[0]!, 55), /^Gap of 55 m: not recorded from .* \(the page was hidden\)\.$/);
  const joined = finished(reduce(gap, { do: "join", gap: 0 }), {}, "p")[0]!;
  assert.equal((joined["geometry"] as { type: string }).type, "LineString");
  assert.deepEqual([joined["notes"], joinsOf(joined).map((j) => Math.round(j.lengthM))], [undefined, [55]]);
});

test("a draft comes back paused, and what was walked meanwhile is a gap", () => {
  const { before, ...kept } = run("line", { do: "walk" }, fix(0, 0), fix(5, 1));
  void before;
  const back = resumed(JSON.parse(JSON.stringify(kept)) as typeof kept);
  assert.equal(back.walk, "paused");
  const on = [{ do: "walk" } as const, fix(8, 300)].reduce(reduce, back);
  assert.deepEqual([sizes(on), whys(on)], [[2, 1], ["closed"]]);
});

test("areas", () => {
  const square = [add(0, 0), add(20, 0), add(20, 20), add(0, 20)];
  assert.equal(run("area", add(0), add(20), { do: "close" }).closed, false, "two positions enclose nothing");
  const closed = run("area", ...square, { do: "close" });
  assert.equal(closed.closed, true);
  const { geometry } = finished(closed, {}, "p")[0]! as { geometry: { type: string; coordinates: number[][][] } };
  assert.equal(geometry.type, "Polygon");
  const receiver = (spots: number) => {
    const walked = { ...closed, pieces: [Array.from({ length: spots }, (_, i) => spot(Math.cos(i) * 50, Math.sin(i) * 50, i))] };
    const { walkedPoints, keptOneIn } = finished(walked, {}, "p")[0]!["receiver"] as Fields;
    return [walkedPoints, keptOneIn];
  };
  assert.deepEqual(receiver(mostSpots), [undefined, undefined], "all that were walked are kept");
  assert.deepEqual(receiver(mostSpots + 1), [mostSpots + 1, 2]);
  assert.deepEqual(geometry.coordinates[0]![0], geometry.coordinates[0]![4], "the ring is not closed");
  assert.deepEqual(sizes(reduce(closed, add(50))), [4], "a closed area takes no more");
  assert.equal(reduce(closed, { do: "open" }).closed, false);
  const withGap = run("area", { do: "walk" }, fix(0, 0), fix(20, 1), { do: "hidden" }, fix(20, 90, 40), fix(0, 91, 40), { do: "close" });
  assert.equal(withGap.closed, false, "an area with a gap was closed over it");
  const openLine = finished(run("area", ...square), {}, "p")[0]!;
  assert.deepEqual([(openLine["geometry"] as { type: string }).type, openLine["notes"]], ["LineString", undefined]);
});

test("a boundary crosses itself where two of its sides do, by the signs of four triangles", () => {
  let seed = 7;
  const random = (below: number) => (seed = (seed * 48271) % 2147483647) % below;
  type At = readonly [number, number];
  const side = (a: At, b: At, p: At) => Math.sign((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]));
  let crossed = 0,
    simple = 0;
  for (let run = 0; run < 3000; run++) {
    const ring: At[] = Array.from({ length: 4 + random(3) }, () => [random(9) * 10, random(9) * 10] as const);
    const n = ring.length;
    let want = false,
      touches = false;
    for (let i = 0; i < n; i++) {
      for (let j = i + 2; j < n; j++) {
        if (i === 0 && j === n - 1) continue;
        const [a, b, c, d] = [ring[i]!, ring[i + 1]!, ring[j]!, ring[(j + 1) % n]!];
        const signs = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)] as const;
        touches ||= signs.includes(0);
        want ||= signs[0] * signs[1] < 0 && signs[2] * signs[3] < 0;
      }
    }
    if (touches) continue; // neither is wrong there
    const got = crossing(ring.map(([e, north]) => moved(start, e, north)));
    assert.equal(got !== null, want, JSON.stringify(ring));
    if (want) crossed++;
    else simple++;
  }
  assert.ok(crossed > 300 && simple > 300, `${crossed} cross, ${simple} do not`);
});

test("boundaries that cross themselves", () => {
  const at = (e: number, n: number) => moved(start, e, n);
  const cases: [string, [number, number][], boolean][] = [
    [
      "square",
      [
        [0, 0],
        [20, 0],
        [20, 20],
        [0, 20],
      ],
      false,
    ],
    [
      "bow-tie",
      [
        [0, 0],
        [20, 20],
        [20, 0],
        [0, 20],
      ],
      true,
    ],
    [
      "last-side",
      [
        [0, 0],
        [20, 0],
        [20, 20],
        [10, -5],
      ],
      true,
    ],
    [
      "closing-side-alone",
      [
        [0, 0],
        [5, 5],
        [10, 0],
        [12, 4],
      ],
      true,
    ],
    [
      "notch",
      [
        [0, 0],
        [20, 0],
        [20, 20],
        [10, 5],
        [0, 20],
      ],
      false,
    ],
    [
      "triangle",
      [
        [0, 0],
        [20, 0],
        [10, 20],
      ],
      false,
    ],
  ];
  for (const [name, corners, want] of cases) {
    const got = crossing(corners.map(([e, n]) => at(e, n)));
    assert.equal(got !== null, want, `${name}: crossing at ${JSON.stringify(got)}, want ${want}`);
  }
  const tie: readonly [number, number][] = [
    [-4, -7],
    [16, 13],
    [16, -7],
    [-4, 13],
  ];
  for (let first = 0; first < 4; first++) {
    const from = [...tie.slice(first), ...tie.slice(0, first)];
    assert.ok(metresBetween(crossing(from.map(([e, n]) => at(e, n)))!, at(6, 3)) < 0.01, "in the middle of the bow tie");
  }
});

test("snapping", () => {
  const thalweg = { id: "t", lines: [[moved(start, -50, 0), start, moved(start, 50, 0)]] };
  const near = snap([thalweg], moved(start, 20, 3), 5)!;
  assert.ok(near.thalweg === "t" && metresBetween(near.at, moved(start, 20, 0)) < 0.01);
  const corner = snap([thalweg], moved(start, 1, 1), 5)!;
  assert.ok(metresBetween(corner.at, start) < 1e-6, "a position of the thalweg comes before a place between two");
  assert.equal(snap([thalweg], moved(start, 20, 6), 5), null);
});

test("what is saved of each position", () => {
  const recording = run(
    "line",
    { do: "walk" },
    { do: "fix", spot: spot(0, 0, 100, { accuracyM: 3, heightM: 310.4 }) },
    { do: "fix", spot: spot(10, 0, 104.5, { accuracyM: 5 }) },
    { do: "pause" },
  );
  const got = finished(recording, { kind: "track" }, "p")[0]! as unknown as {
    kind: string;
    accuracyM: number;
    gpsHeightsM: unknown;
    receiver: { from: string; secondsAfter: number[]; accuraciesM: number[]; how: string[] };
  };
  assert.equal(got.kind, "track");
  assert.ok(Math.abs(got.accuracyM - Math.sqrt((9 + 25) / 2)) < 0.005, `accuracy ${got.accuracyM}`);
  assert.deepEqual(got.gpsHeightsM, [310.4, null]);
  assert.deepEqual(
    [got.receiver.from, got.receiver.secondsAfter, got.receiver.accuraciesM, got.receiver.how],
    ["1970-01-01T00:01:40.000Z", [0, 4.5], [3, 5], ["walked", "walked"]],
  );
});

test("a line too long for an entry is several, and none of it is lost", () => {
  const long = { ...begun("line"), pieces: [Array.from({ length: 2 * mostSpots + 100 }, (_, i) => spot(i * 3, 0, i))] };
  const lines = finished(long, {}, "p").map((f) => (f["geometry"] as { coordinates: number[][] }).coordinates);
  assert.equal(lines.length, 3);
  lines.forEach((line) => assert.ok(line.length <= mostSpots, `${line.length} positions in one entry`));
  assert.deepEqual(lines[0]![mostSpots - 1], lines[1]![0], "the parts do not share an end");
  assert.equal(
    lines.reduce((n, line) => n + line.length, 0),
    2 * mostSpots + 100 + 2,
  );
  const bytes = JSON.stringify(finished(long, {}, "p")[0]).length;
  assert.ok(bytes < 200 * 1024, `an entry of ${bytes} bytes`);
  const area = { ...long, shape: "area" as const, closed: true };
  assert.ok((finished(area, {}, "p")[0]!["geometry"] as { coordinates: number[][][] }).coordinates[0]!.length <= mostSpots + 1);
});

test("lone positions between gaps are told, not lost silently", () => {
  const recording = run(
    "line",
    { do: "walk" },
    fix(0, 0),
    fix(5, 1),
    { do: "hidden" },
    fix(60, 60),
    { do: "hidden" },
    fix(120, 120),
    fix(125, 121),
  );
  const got = finished(recording, {}, "p")[0]! as unknown as { receiver: { lone: number[][] } };
  assert.equal(got.receiver.lone.length, 1);
});

test("any row of actions keeps the recording whole", () => {
  let seed = 7;
  const rnd = (n: number) => (seed = (seed * 48271) % 2147483647) % n;
  for (let round = 0; round < 300; round++) {
    let recording = begun(round % 2 ? "area" : "line");
    let at = 0;
    for (let i = 0; i < 60; i++) {
      at += [1, 1, 1, 20, 300][rnd(5)]!;
      const piece = rnd(recording.pieces.length),
        n = recording.pieces[piece]!.length;
      const actions: (() => Action)[] = [
        () => ({ do: "walk" }),
        () => ({ do: "pause" }),
        () => ({ do: "hidden" }),
        () => fix(rnd(200), at),
        () => fix(rnd(200), at),
        () => fix(rnd(200), at),
        () => add(rnd(200), rnd(50)),
        () => ({ do: "choose", chosen: n ? { piece, spot: rnd(n) } : null }),
        () => ({ do: "nudge", eastM: 1, northM: -1 }),
        () => ({ do: "take-out" }),
        () => ({ do: "split" }),
        () => ({ do: "join", gap: rnd(3) }),
        () => ({ do: "close" }),
        () => ({ do: "open" }),
        () => ({ do: "undo" }),
        () => ({ do: "clear" }),
      ];
      const action = actions[rnd(16)]!(); // no other is made
      recording = reduce(recording, action);
      const { pieces, gaps, chosen, closed } = recording;
      const faults = [
        gaps.length !== pieces.length - 1 && "gaps lie between pieces",
        !pieces.every((p, j) => p.length > 0 || (pieces.length === 1 && j === 0)) && "a piece is empty",
        chosen && !chosenSpot(recording) && "a position is chosen that is not there",
        closed && (gaps.length > 0 || spotsOf(recording).length <= 2) && "it is closed",
        lastSpot(recording) === undefined && spotsOf(recording).length > 0 && "it has no end",
      ].filter(Boolean);
      if (faults.length > 0)
        assert.fail(`round ${round}, step ${i}, ${action.do}: ${faults.join()}: ${sizes(recording)} with ${whys(recording)}`);
    }
  }
});

// GPS wanders: an error of 2 m each way that is forgotten in half a minute is usual for a phone
// under open sky (a first-order Gauss-Markov process; common practice, no source).
function wandering(seed: number): () => { eastM: number; northM: number } {
  let state = seed;
  const uniform = () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  const kept = Math.exp(-1 / 30),
    sigmaM = 2;
  let eastM = sigmaM * normal(),
    northM = sigmaM * normal();
  return () => {
    eastM = kept * eastM + sigmaM * Math.sqrt(1 - kept * kept) * normal();
    northM = kept * northM + sigmaM * Math.sqrt(1 - kept * kept) * normal();
    return { eastM, northM };
  };
}

const lengthOf = (recording: Recording): number =>
  recording.pieces.reduce((sum, piece) => sum + piece.slice(1).reduce((m, to, i) => m + metresBetween(piece[i]!, to), 0), 0);

test("standing still does not lengthen a walk, and walking slowly is recorded", () => {
  const grown: number[] = [];
  for (let seed = 1; seed <= 50; seed++) {
    const off = wandering(seed);
    const at = (eastM: number, atS: number): Action => {
      const by = off();
      return fix(eastM + by.eastM, atS, by.northM);
    };
    const walked = Array.from({ length: 201 }, (_, i) => at(0.6 * i, i)).reduce(reduce, run("line", { do: "walk" }));
    const stood = Array.from({ length: 120 }, (_, i) => at(120, 201 + i)).reduce(reduce, walked);
    grown.push(lengthOf(stood) - lengthOf(walked));
    const positions = spotsOf(walked).length;
    assert.ok(positions >= 25, `seed ${seed}: ${positions} positions of 120 m walked, want one each 5 m or more`);
  }
  const mean = grown.reduce((a, b) => a + b) / grown.length;
  assert.ok(mean < 4, `two minutes of standing add ${mean.toFixed(1)} m on average, want less than the accuracy of 4 m`);
});
