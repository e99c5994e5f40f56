// Shapes that are recorded, reshaped and kept: how each of their points came, as far as it is known.

import assert from "node:assert/strict";
import test from "node:test";
import { onPhone, property, until } from "../../storage/phone.test.ts";
import type { Fields } from "../../base/entry.ts";
import { metresBetween } from "../../base/plane.ts";
import { begunLines, begunShapes, draftKey, keepAgain, keptRecording, LineWriter } from "./drafts.ts";
import { begun, chosenSpot, lastSpot, reduce, spotsOf, type Action, type Recording, type Spot } from "./recording.ts";
import { cannotSave, reshaped, shapeOf } from "./reshape.ts";
import { at, spot, of, feature, positions } from "./spots.test.ts";

test("how each point of a saved shape came, as far as it is known", () => {
  const line = (more: Fields): Fields => ({
    kind: "fence",
    geometry: { type: "LineString", coordinates: positions(at(0, 0), at(0, 9), at(0, 18)) },
    ...more,
  });
  const hows = (fields: Fields) => spotsOf(shapeOf(feature("f", fields))!.recording).map((s) => s.how);
  const receiver = { from: "2026-11-25T00:00:00.000Z" };
  assert.deepEqual(hows(line({ receiver: { ...receiver, how: ["walked", "stood", "tapped"] }, positionBasis: "GPS" })), [
    "walked",
    "stood",
    "tapped",
  ]);
  assert.deepEqual(hows(line({ receiver: { ...receiver, how: ["walked", "snapped", "else"] }, positionBasis: "drawn on the map" })), [
    "walked",
    "tapped",
    "tapped",
  ]);
  assert.deepEqual(hows(line({ positionBasis: "drawn on the map" })), ["tapped", "tapped", "tapped"]);
  assert.deepEqual(hows(line({})), ["stood", "stood", "stood"]);
  const snapped = spotsOf(shapeOf(feature("f", line({ receiver: { how: ["walked", "snapped", "walked"] } })))!.recording);
  assert.deepEqual(
    snapped.map((s) => s.snappedTo !== undefined),
    [false, true, false],
  );
  const timed = spotsOf(shapeOf(feature("f", line({ receiver: { ...receiver, secondsAfter: [0, 2.5, null] } })))!.recording);
  assert.deepEqual(
    timed.map((s) => s.atMS - Date.parse(receiver.from)),
    [0, 2500, 0],
  );
  assert.deepEqual(
    spotsOf(shapeOf(feature("f", line({ accuracyM: 3, receiver: { accuraciesM: [1, 2] } })))!.recording).map((s) => s.accuracyM),
    [3, 3, 3],
    "a list of other points",
  );
  assert.deepEqual(
    spotsOf(shapeOf(feature("f", line({})))!.recording).map((s) => [s.accuracyM, s.heightM]),
    [
      [0, undefined],
      [0, undefined],
      [0, undefined],
    ],
  );
  const point = { kind: "peg", geometry: { type: "Point", coordinates: positions(at(0, 0))[0] }, gpsHeightM: 212 };
  assert.equal(spotsOf(shapeOf(feature("p", point))!.recording)[0]!.heightM, 212);
  assert.equal(spotsOf(shapeOf(feature("f", line({ gpsHeightM: 212 })))!.recording)[0]!.heightM, undefined, "one height is of one point");
  const pieces = {
    kind: "fence",
    geometry: {
      type: "MultiLineString",
      coordinates: [positions(at(0, 0), at(0, 9)), positions(at(0, 18), at(0, 27)), positions(at(9, 0), at(9, 9))],
    },
  };
  const gaps = [{ why: "hidden", from: "2026-11-25T00:00:00.000Z", to: "2026-11-25T00:01:00.000Z" }];
  assert.deepEqual(shapeOf(feature("f", { ...pieces, receiver: { gaps } }))!.recording.gaps, [
    { why: "hidden", fromMS: Date.parse(gaps[0]!.from), toMS: Date.parse(gaps[0]!.to) },
    { why: "paused", fromMS: 0, toMS: 0 },
  ]);
  assert.equal(shapeOf(feature("f", { ...pieces, receiver: { gaps: "x" } }))!.recording.gaps.length, 2);
});

test("a shape needs enough points, and keeps of each what is still known", () => {
  const shape = (type: "Point" | "LineString" | "MultiLineString" | "Polygon", ...pieces: readonly (readonly Spot[])[]) => ({
    type,
    recording: of(type === "Polygon" ? "area" : "line", pieces),
    holes: [],
    known: [],
  });
  const some = (n: number) => Array.from({ length: n }, (_, i) => spot(0, 9 * i));
  for (const [name, of, wrong] of [
    ["a point", shape("Point", some(1)), ""],
    ["a line of one", shape("LineString", some(1)), "Each piece of a line needs two points. Add one."],
    ["a line of two", shape("LineString", some(2)), ""],
    ["a piece of one", shape("MultiLineString", some(2), some(1)), "Each piece of a line needs two points. Add one."],
    ["an area of two", shape("Polygon", some(2)), "An area needs three points. Add one."],
    ["an area of three", shape("Polygon", some(3)), ""],
  ] as const)
    assert.equal(cannotSave(of), wrong, name);
  const known = reshaped(shape("LineString", [spot(0, 0, { accuracyM: 3 }), spot(0, 9, { accuracyM: 4 })]), {});
  assert.equal(known["accuracyM"], 3.54, "the root of their mean square");
  assert.deepEqual(Object.keys(known).sort(), ["accuracyM", "geometry", "positionBasis"]);
  assert.ok(!("accuracyM" in reshaped(shape("LineString", [spot(0, 0, { accuracyM: 0 }), spot(0, 9)]), {})), "of one point nobody knows");
  const ring = reshaped(
    shape("Polygon", [spot(0, 0, { accuracyM: 3, heightM: 1 }), spot(0, 9, { accuracyM: 4 }), spot(9, 9, { accuracyM: 4 })]),
    { gpsHeightsM: [1, 2, 3, 1], gpsHeightM: 2 },
  );
  assert.deepEqual(
    [ring["accuracyM"], ring["gpsHeightsM"], ring["gpsHeightM"]],
    [3.54, [1, null, null, 1], null],
    "a ring tells its first point twice",
  );
});

test("a recording changes by what is chosen, and by nothing else", () => {
  const line = of("line", [[spot(0, 0), spot(0, 9), spot(0, 18)]]);
  const chosen = { piece: 0, spot: 1 };
  const on = (r: Recording, ...acts: Action[]) => acts.reduce(reduce, r);
  for (const act of [{ do: "nudge", eastM: 1, northM: 1 }, { do: "take-out" }, { do: "split" }] as const) {
    assert.equal(on(line, act), line, act.do);
    assert.equal(on({ ...line, chosen: { piece: 0, spot: 7 } }, act).before.length, 0, act.do);
  }
  const nudged = chosenSpot(on({ ...line, chosen }, { do: "nudge", eastM: 2, northM: -3 }))!;
  assert.ok(metresBetween(nudged, at(2, 6)) < 0.01 && nudged.how === "tapped");
  for (const ends of [0, 2])
    assert.equal(on({ ...line, chosen: { piece: 0, spot: ends } }, { do: "split" }).pieces.length, 1, "at an end nothing is split");
  assert.equal(on({ ...line, chosen }, { do: "split" }).pieces.length, 2);
  assert.equal(on({ ...line, shape: "area", chosen }, { do: "split" }).pieces.length, 1);
  const into = (piece: number, after: number) => on(line, { do: "insert", piece, after, spot: spot(5, 5) });
  assert.deepEqual([into(0, -1), into(0, 3), into(1, 0)], [line, line, line]);
  assert.deepEqual([spotsOf(into(0, 0)).length, into(0, 2).chosen], [4, { piece: 0, spot: 3 }]);
  const ring = of("area", line.pieces);
  assert.equal(on(ring, { do: "close" }).closed, true);
  assert.equal(on(line, { do: "close" }), line);
  assert.equal(on(of("area", [line.pieces[0]!.slice(0, 2)]), { do: "close" }).closed, false);
  assert.equal(on({ ...ring, gaps: [{ why: "paused", fromMS: 0, toMS: 0 }] }, { do: "close" }).closed, false);
  const closed = on(ring, { do: "close" });
  assert.equal(on(closed, { do: "add", spot: spot(1, 1) }), closed);
  assert.equal(on({ ...closed, chosen }, { do: "take-out" }).closed, false, "two points close nothing");
  assert.equal(on(closed, { do: "open" }).closed, false);
  assert.deepEqual(spotsOf(on(line, { do: "clear" })), []);
  assert.deepEqual(on(line, { do: "clear" }, { do: "undo" }).pieces, line.pieces);
  assert.equal(on(line, { do: "undo" }), line);
  assert.equal(lastSpot(of("line", [line.pieces[0]!, []])), line.pieces[0]![2]);
  assert.equal(lastSpot(begun("line")), undefined);
  assert.equal(on(line, { do: "pause" }), line);
  assert.equal(on(line, { do: "hidden" }), line);
  assert.equal(on(line, { do: "join", gap: 0 }), line);
});

test("a line is kept as it grows, listed while it has points, and forgotten once it is saved", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    const told: (number | null)[] = [];
    const tell = (n: number | null) => void told.push(n);
    const name = { kind: "fence", shape: "line" } as const;
    const writer = new LineWriter(store, property, name, tell);
    const kept = () => keptRecording(store, property, { kind: "fence", shape: "line" });
    assert.equal(await kept(), undefined);
    assert.deepEqual(await begunLines(store, property), []);
    const line = of("line", [[spot(0, 0), spot(0, 9)]], { walk: "on", before: [begun("line")] });
    writer.keep(line);
    await until(() => told.length === 1);
    assert.deepEqual(told, [2]);
    const back = (await kept())!;
    assert.deepEqual([back.pieces, back.before, back.walk, back.pending?.why], [line.pieces, [], "paused", "closed"]);
    assert.deepEqual(await begunLines(store, property), [{ ...name, positions: 2 }]);
    assert.deepEqual(
      [
        await begunLines(store, "other"),
        await keptRecording(store, property, { kind: "fence", shape: "area" }),
        await keptRecording(store, property, { kind: "track", shape: "line" }),
      ],
      [[], undefined, undefined],
    );
    const area = new LineWriter(store, property, { kind: "fence", shape: "area" }, tell);
    area.keep(of("area", [[spot(0, 0)]]));
    await until(() => told.length === 2);
    const second = new LineWriter(store, property, { kind: "track", shape: "line" }, tell);
    second.keep(begun("line"));
    await until(() => told.length === 3);
    assert.deepEqual(told[2], 0);
    assert.deepEqual(
      (await begunLines(store, property)).map((l) => [l.kind, l.shape]),
      [
        ["fence", "area"],
        ["fence", "line"],
      ],
      "the track came to nothing",
    );
    await writer.drop();
    writer.keep(line);
    assert.deepEqual(
      (await begunLines(store, property)).map((l) => [l.kind, l.shape]),
      [["fence", "area"]],
    );
    assert.equal(await kept(), undefined);
    const third = new LineWriter(store, property, name, tell);
    third.keep(line);
    await third.drop();
    assert.equal(await kept(), undefined, "what was being written then is gone too");
    assert.deepEqual([...(await begunShapes(store))], []);
    await store.keepDraft(draftKey("a"), { course: line, of: "7" });
    assert.deepEqual([...(await begunShapes(store))], [["a", "7"]]);
  }));

test("a line whose save is undone is kept again, but not over another of its name that was begun since", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    const fence = { kind: "fence", shape: "line" } as const;
    const saved = of("line", [[spot(0, 0), spot(0, 9)]], { walk: "on" });
    assert.equal(await keepAgain(store, property, fence, saved), true);
    assert.equal(await keepAgain(store, property, fence, of("line", [[spot(5, 5)]])), false);
    const back = (await keptRecording(store, property, { kind: "fence", shape: "line" }))!;
    assert.deepEqual([back.pieces, back.walk], [saved.pieces, "on"]);
    assert.equal(await keepAgain(store, property, { kind: "track", shape: "line" }, { ...saved, walk: "paused" }), true);
    assert.equal((await keptRecording(store, property, { kind: "track", shape: "line" }))!.walk, "paused");
    assert.deepEqual(
      (await begunLines(store, property)).map((l) => l.kind),
      ["fence", "track"],
    );
  }));
