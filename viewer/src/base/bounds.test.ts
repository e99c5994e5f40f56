// How numbers, times, places and names are worded, each at the value where the words change.

import assert from "node:assert/strict";
import test from "node:test";
import { album, photosOf } from "./album.ts";
import { awayTo, awayWords, isHere } from "./away.ts";
import { bases, isBasis, unexplained } from "./basis.ts";
import { kindOf, numberOf, placeOf, stampedAt, textOf, type Feature, type Fields, type Geometry } from "./entry.ts";
import { shortened, statusOf } from "./item.ts";
import { fieldNamed, fieldsOf, kindNamed, pointKinds, unitInWords, wordNow } from "./kinds.ts";
import { isPhoto, kindLabelOf, labelOf, nameOf, nextName, ownNameOf } from "./names.ts";
import { isItem, itemsWords, lacksPlace, nearestFirst, nearestTo } from "./nearest.ts";
import { number, numberIn, rounded } from "./number.ts";
import { bearingTo, between, lengthOf, linesIn, metresBetween, metresPerDegree, moved, nearestOnLine, offset, placeAt } from "./plane.ts";
import { inWords } from "./problem.ts";
import { rowAt } from "./route.ts";
import { newID } from "./uuid.ts";
import * as words from "./words.ts";

const feature = (id: string, fields: Fields, more: Partial<Feature> = {}): Feature => ({
  ...{ id, property: "p", fields, struck: false, clashes: [], saw: {}, stamp: "0", unsent: 0 },
  ...more,
});
const origin = { lon: 146.5, lat: -20.25 };
const point = (eastM: number, northM: number): Geometry => {
  const { lon, lat } = moved(origin, eastM, northM);
  return { type: "Point", coordinates: [lon, lat] };
};

test("words of numbers change where they should", () => {
  const tables: readonly [(n: number) => string, readonly (readonly [number, string])[]][] = [
    [
      words.grouped,
      [
        [0, "0"],
        [999, "999"],
        [1000, "1,000"],
        [1234567, "1,234,567"],
      ],
    ],
    [
      (n) => words.count(n, "entry", "entries"),
      [
        [0, "0 entries"],
        [1, "1 entry"],
        [2, "2 entries"],
        [1200, "1,200 entries"],
      ],
    ],
    [
      words.distance,
      [
        [0.4, "0 m"],
        [949.9, "950 m"],
        [950, "0.9 km"],
        [9949, "9.9 km"],
        [9950, "10 km"],
        [12_400, "12 km"],
      ],
    ],
    [
      words.compass,
      [
        [0, "north"],
        [22.4, "north"],
        [22.6, "north-east"],
        [90, "east"],
        [181, "south"],
        [315, "north-west"],
        [337.6, "north"],
        [-90, "west"],
        [-721, "north"],
        [450, "east"],
      ],
    ],
    [
      words.size,
      [
        [0, "1 kB"],
        [1500, "2 kB"],
        [999_499, "999 kB"],
        [1e6, "1.0 MB"],
        [9.94e6, "9.9 MB"],
        [1e7, "10 MB"],
        [999e6, "999 MB"],
        [1e9, "1.0 GB"],
      ],
    ],
    [
      words.accuracyWords,
      [
        [0, "±1 m"],
        [1.1, "±2 m"],
        [9.9, "±10 m"],
        [10, "±10 m"],
        [12.4, "±12 m"],
        [2000, "±2.0 km"],
      ],
    ],
    [
      words.two,
      [
        [7, "07"],
        [12, "12"],
      ],
    ],
    [
      (n) => number(n, 1),
      [
        [1234.56, "1\u202f234.6"],
        [-0.04, "0.0"],
        [-0.06, "\u22120.1"],
        [0.15, "0.2"],
        [0, "0.0"],
      ],
    ],
    [
      (n) => number(n, 0),
      [
        [999.5, "1\u202f000"],
        [-12, "\u221212"],
      ],
    ],
    [
      (n) => number(n, -2),
      [
        [1249, "1\u202f200"],
        [1250, "1\u202f300"],
        [-49, "0"],
      ],
    ],
    [
      (n) => String(rounded(n, 2)),
      [
        [1.005, "1"],
        [1.239, "1.24"],
      ],
    ],
    [
      (n) => words.monthNames[n]!,
      [
        [0, "January"],
        [11, "December"],
      ],
    ],
  ];
  for (const [say, table] of tables) for (const [n, want] of table) assert.equal(say(n), want, `${n}`);
});

test("what a person types as a number", () => {
  for (const [text, want] of [
    ["", undefined],
    ["  ", undefined],
    [" 1,5 ", 1.5],
    ["1.", 1],
    [".5", 0.5],
    ["\u22122", -2],
    ["+3", 3],
    ["-", NaN],
    [".", NaN],
    ["1.2.3", NaN],
    ["1e3", NaN],
    ["4 m", NaN],
  ] as const)
    assert.equal(numberIn(text), want, text);
});

test("days and hours as they are read", () => {
  const at = new Date(2026, 10, 4, 9, 5);
  assert.equal(words.clock(at, new Date(2026, 10, 4, 23, 59)), "09:05");
  assert.equal(words.clock(at, new Date(2026, 10, 5, 0, 0)), "09:05 on 4 November 2026");
  assert.equal(words.clockOrDay(at, new Date(2026, 10, 4, 23, 59)), "09:05");
  assert.equal(words.clockOrDay(at, new Date(2026, 10, 5)), "4 November 2026");
  assert.equal(words.clockOrDay(undefined, at), "no date");
  assert.equal(words.dayOf(at), "2026-11-04");
  for (const [date, want] of [
    ["2026-01-02", "2 January 2026"],
    ["2026-12-31", "31 December 2026"],
    ["2026-13-01", "2026-13-01"],
    ["2026-00-01", "2026-00-01"],
    ["spring", "spring"],
    ["", "a day not known"],
  ] as const)
    assert.equal(words.day(date), want, date);
});

test("words of names and sentences", () => {
  assert.deepEqual([words.capital("needs work"), words.capital("")], ["Needs work", ""]);
  assert.deepEqual(["it fell", "it fell.", "did it?", "no!"].map(words.sentence), ["It fell.", "It fell.", "Did it?", "No!"]);
  assert.deepEqual([words.compare("a", "b"), words.compare("b", "a"), words.compare("a", "a")], [-1, 1, 0]);
  assert.deepEqual([words.called(" D1 ", "Dam"), words.called("  ", "Dam")], ["D1", "Dam"]);
  assert.deepEqual([shortened("abcde", 5), shortened("abcdef", 5), shortened(" abc def", 5)], ["abcde", "abcd…", "abc…"]);
  assert.deepEqual([statusOf({ status: "built" }), statusOf({ status: "x" }), statusOf({})], ["built", "unsaid", "unsaid"]);
  assert.equal(inWords({ reason: "is too steep", path: "track" }), "The track is too steep.");
  assert.equal(inWords({ reason: "too steep", path: "bed", fix: "level it again" }), "Too steep: level it again.");
  assert.deepEqual([nextName("Dam ", []), nextName("CP", ["CP2", "CP10", "CP", "XCP99", "CP11b"])], ["Dam 1", "CP11"]);
});

test("an item is called by its name, what a visit is of, or its kind", () => {
  const dam = feature("d", { kind: "check-dam", name: "D1" });
  const visit = feature("v", { kind: "visit", of: "d", condition: "sound" });
  const photo = feature("f", { kind: "visit", of: "d", photos: ["a"] });
  const of = feature("w", { kind: "visit", of: "v" });
  const all = [dam, visit, photo, of];
  assert.deepEqual(
    all.map((f) => nameOf(f, all)),
    ["D1", "Visit: D1", "Photo: D1", "Visit"],
  );
  assert.equal(nameOf(visit, []), "Visit");
  assert.equal(nameOf(photo, []), "Photo");
  assert.equal(nameOf(feature("n", { kind: "visit", of: "d", name: "After rain" }), all), "After rain");
  assert.equal(nameOf(feature("p", { kind: "peg" }), all), "Peg");
  assert.deepEqual([ownNameOf(visit), ownNameOf(dam)], ["Visit", "D1"]);
  assert.deepEqual([kindLabelOf(photo), kindLabelOf(visit), kindLabelOf(dam)], ["Photo", "Visit", "Check dam"]);
  assert.deepEqual(
    [visit, photo, dam].map((f) => labelOf(f, fieldNamed(kindOf(f), "observedOn"))),
    ["Visited on", "Taken on", fieldNamed("check-dam", "observedOn").label],
  );
  assert.equal(labelOf(visit, fieldNamed("visit", "notes")), fieldNamed("visit", "notes").label);
  assert.equal(labelOf(dam, { ...fieldNamed("check-dam", "observedOn"), name: "runPerRise" }), "Slope");
  for (const [more, want] of [
    [{ photos: [] }, false],
    [{ photos: "a" }, false],
    [{}, false],
    [{ photos: ["a"], notes: "soft" }, false],
    [{ photos: ["a"], coverPct: 0 }, false],
    [{ photos: ["a"], notes: null }, true],
  ] as const)
    assert.equal(isPhoto(feature("v", { kind: "visit", ...more })), want, JSON.stringify(more));
  assert.equal(isPhoto(feature("d", { kind: "check-dam", photos: ["a"] })), false);
});

test("what is an item, which lack a place, and in what order they come", () => {
  const at = (id: string, eastM: number, stamp = "1") => feature(id, { kind: "peg", geometry: point(eastM, 0) }, { stamp });
  const bare = (id: string, stamp: string) => feature(id, { kind: "peg" }, { stamp });
  for (const [f, item, lacks] of [
    [at("a", 0), true, false],
    [bare("b", "1"), true, true],
    [feature("s", { kind: "peg" }, { struck: true }), false, false],
    [feature("v", { kind: "visit" }), false, false],
    [feature("r", { kind: "level-run" }), false, false],
    [feature("p", { kind: "plan" }), false, false],
    [feature("t", { kind: "settings" }), false, false],
  ] as const)
    assert.deepEqual([isItem(f), lacksPlace(f)], [item, lacks], f.id);
  const all = [at("far", 50), bare("old", "1"), at("near", -5), bare("new", "2"), feature("v", { kind: "visit", geometry: point(0, 0) })];
  assert.deepEqual(
    nearestFirst(all, origin).map((n) => n.feature.id),
    ["near", "far", "new", "old"],
  );
  assert.deepEqual(
    nearestFirst(all, origin).map((n) => n.awayM && Math.round(n.awayM)),
    [5, 50, undefined, undefined],
  );
  assert.deepEqual(
    nearestFirst([at("x", 5, "1"), at("y", 5, "3"), at("z", 5, "2")], undefined).map((n) => n.feature.id),
    ["y", "z", "x"],
  );
  assert.equal(itemsWords(all), "4 items, 2 without a position");
  assert.equal(itemsWords([at("a", 0)]), "1 item");
  assert.equal(nearestTo(all, origin)!.feature.id, "near");
  assert.equal(nearestTo([at("x", 5, "1"), at("y", 5, "3"), at("z", 5, "2")], origin)!.feature.id, "y", "the newest of those as near");
  assert.equal(nearestTo([at("x", 5, "3"), at("y", 6, "4")], origin)!.feature.id, "x");
  assert.equal(nearestTo([bare("b", "1")], origin), undefined);
});

test("what is nearer than the position is good for is here", () => {
  assert.deepEqual([isHere({ distanceM: 5, bearingDeg: 0 }, 5), isHere({ distanceM: 5.01, bearingDeg: 0 }, 5)], [true, false]);
  assert.equal(awayWords({ distanceM: 5.4, bearingDeg: 181 }, 5), "5 m south");
  const square = (half: number, eastM: number) =>
    [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
      [-1, -1],
    ].map(([x, y]) => {
      const { lon, lat } = moved(origin, eastM + x! * half, y! * half * 0.999);
      return [lon, lat] as const;
    });
  for (const [name, eastM, awayM] of [
    ["west of it", 30, 20],
    ["east of it", -30, 20],
    ["within it, to the west", 6, 0],
    ["within it, to the east", -6, 0],
  ] as const)
    assert.ok(Math.abs(awayTo({ type: "Polygon", coordinates: [square(10, eastM)] }, origin)!.distanceM - awayM) < 0.01, name);
  const tall = [
    [-10, -40],
    [10, -40],
    [-10, 40],
    [-10, -40],
  ].map(([x, y]) => {
    const { lon, lat } = moved(origin, x!, y!);
    return [lon, lat] as const;
  }); // its long side leans: the place is west of it or east by the share of its height
  const away = (eastM: number, northM: number) => awayTo({ type: "Polygon", coordinates: [tall] }, moved(origin, eastM, northM))!.distanceM;
  assert.deepEqual([away(-4, 10) === 0, away(-1.5, 10) > 0, away(4, -20) === 0, away(6, -20) > 0], [true, true, true, true]);
});

test("photos that a feature names by their hash, and who says their day", () => {
  const sha = (c: string) => c.repeat(64);
  assert.deepEqual(photosOf(feature("a", { photos: [sha("a"), "a", sha("g"), sha("b") + "b", 3] })), [sha("a")]);
  const day = (fields: Fields) => {
    const [first] = album("d", [feature("v", { kind: "visit", of: "d", photos: [sha("a")], ...fields })]);
    return [first!.on, first!.chosen, first!.dayBy];
  };
  const gallery = (takenAt?: string) => ({ picture: { from: "gallery", ...(takenAt !== undefined && { takenAt }) } });
  assert.deepEqual(day({ observedOn: "2026-05-01" }), ["2026-05-01", false, undefined]);
  assert.deepEqual(day({ observedOn: "2026-05-01", picture: { from: "camera" } }), ["2026-05-01", false, undefined]);
  assert.deepEqual(day({ observedOn: "2026-05-01", ...gallery("2026-05-01T10:00:00") }), ["2026-05-01", true, "picture"]);
  assert.deepEqual(day({ observedOn: "2026-05-01", ...gallery("2026-04-01T10:00:00") }), ["2026-05-01", true, "officer"]);
  assert.deepEqual(day({ observedOn: "2026-05-01", ...gallery() }), ["2026-05-01", true, "officer"]);
  assert.deepEqual(day(gallery("2026-05-01")), ["", true, undefined]);
  const visit = (id: string, on: string, stamp: string, c: string) =>
    feature(id, { kind: "visit", of: "d", observedOn: on, photos: [sha(c)] }, { stamp });
  const stamp = (ms: number) => `${ms.toString(16).padStart(12, "0")}0000`;
  assert.deepEqual(
    album("d", [
      visit("a", "2026-05-01", stamp(1), "a"),
      visit("b", "2026-05-01", stamp(3), "b"),
      visit("c", "2026-05-01", stamp(2), "c"),
      visit("e", "", stamp(9), "e"),
    ]).map((p) => p.feature),
    ["b", "c", "a", "e"],
    "the newest of a day first, those of no day last",
  );
  const own = feature("d", { kind: "check-dam", photos: [sha("a")], observedOn: "2026-01-01", geometry: point(0, 0) });
  assert.equal(album("d", [own])[0]!.place, undefined, "where the dam is, is not where the camera stood");
  assert.equal(album("d", [visit("v", "2026-02-01", "1", "a"), own])[0]!.feature, "v", "a visit tells more, in whatever order they come");
  assert.equal(stampedAt(feature("a", {}, { stamp: stamp(1_780_000_000_000) }))?.getTime(), 1_780_000_000_000);
  assert.equal(stampedAt(feature("a", {}, { stamp: "0000000000000001" })), undefined, "what a file without dates said has none");
});

test("fields are read as what they are, or not at all", () => {
  const f = feature("a", { kind: 3, name: 4, n: "5", m: 0, geometry: null });
  assert.deepEqual(
    [kindOf(f), textOf(f, "name"), numberOf(f, "n"), numberOf(f, "m"), placeOf(f)],
    ["unsorted", "", undefined, 0, undefined],
  );
  assert.equal(kindNamed("of a newer program").name, "unsorted");
  assert.deepEqual([unitInWords(undefined), unitInWords("m"), unitInWords("a new unit")], ["", "m", "a new unit"]);
  const choice = { ...fieldNamed("check-dam", "status"), was: { made: "built" } };
  assert.deepEqual([wordNow(choice, "made"), wordNow(choice, "pegged")], ["built", "pegged"]);
  assert.ok(!pointKinds.some((k) => k.name === "visit" || k.name === "thalweg") && pointKinds.some((k) => k.name === "peg"));
  assert.ok(
    fieldsOf(kindNamed("check-dam")).some((x) => x.name === "builtOn") && !fieldsOf(kindNamed("peg")).some((x) => x.name === "builtOn"),
  );
  assert.deepEqual([bases.every(isBasis), isBasis("by eye")], [true, false]);
  const measured = fieldNamed("check-dam", "crestHeightM");
  assert.match(unexplained(measured, "")!, /^Choose how the .* was measured$/);
  assert.deepEqual(
    [unexplained(measured, undefined) !== undefined, unexplained(measured, "taped"), unexplained(fieldNamed("check-dam", "notes"), "")],
    [true, undefined, undefined],
  );
});

test("an address names its screen and what it is of", () => {
  const rows = ["#/", "#/mark", "#/mark/:kind", "#/thing/:id/edit", "#/thing/:id/:part"].map((route) => ({ route }));
  for (const [address, route, params] of [
    ["", "#/", {}],
    ["#/mark", "#/mark", {}],
    ["#/mark/", "#/", {}],
    ["#/mark/gully%20head", "#/mark/:kind", { kind: "gully head" }],
    ["#/mark/100%", "#/mark/:kind", { kind: "100%" }],
    ["#/thing/a/edit", "#/thing/:id/edit", { id: "a" }],
    ["#/thing/a/fill", "#/thing/:id/:part", { id: "a", part: "fill" }],
    ["#/thing/a/b/c", "#/", {}],
    ["#/else", "#/", {}],
  ] as const)
    assert.deepEqual(rowAt(address, rows), { row: { route }, params }, address);
});

test("an id has its time in front and what RFC 9562, 5.7 wants of its bits", () => {
  for (const ms of [0, 1, 1_780_000_000_123, 2 ** 47]) {
    const id = newID(ms);
    assert.match(id, /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
    assert.equal(Number.parseInt(id.slice(0, 8) + id.slice(9, 13), 16), ms);
  }
  assert.equal(newID(-5).slice(0, 13), "00000000-0000");
  assert.notEqual(newID(1), newID(1));
});

test("places on a plane, over the antimeridian too", () => {
  // At the equator a degree east is π/180 of the ellipsoid's radius there (WGS 84: 6 378 137 m).
  assert.ok(Math.abs(metresPerDegree(0).east - (6378137 * Math.PI) / 180) < 1e-6);
  const east = { lon: 179.999, lat: 10 },
    west = { lon: -179.999, lat: 10 };
  const over = offset(east, west);
  assert.ok(over.east > 0 && over.east < 250 && over.north === 0 && offset(west, east).east < 0);
  assert.deepEqual([bearingTo(east, west), bearingTo(west, east), bearingTo(east, east)], [90, 270, 0]);
  assert.deepEqual(between(east, west, 0.5), { lon: -180, lat: 10 });
  const third = between({ lon: 10, lat: 20 }, { lon: 13, lat: 17 }, 1 / 3);
  assert.ok(Math.abs(third.lon - 11) < 1e-9 && Math.abs(third.lat - 19) < 1e-9);
  const line = [origin, moved(origin, 30, 40), moved(origin, 30, 140)];
  assert.ok(Math.abs(lengthOf(line) - 150) < 0.01);
  assert.deepEqual([lengthOf([]), lengthOf([origin])], [0, 0]);
  const on = nearestOnLine(line, moved(origin, 31, 90))!;
  assert.ok(Math.abs(on.alongM - 100) < 0.01 && on.after === 1 && Math.abs(on.offM - 1) < 0.01);
  assert.equal(nearestOnLine(line, line[1]!)!.after, 0, "the first leg of two that are as near");
  assert.deepEqual(nearestOnLine([origin], moved(origin, 3, 4))!.at, origin);
  assert.ok(metresBetween(nearestOnLine([origin, origin], moved(origin, 3, 4))!.at, origin) < 1e-6);
  const coordinates = [
    [1, 2],
    [3, 4],
  ] as const;
  assert.deepEqual(linesIn({ type: "LineString", coordinates }), [coordinates.map(placeAt)]);
  assert.deepEqual(linesIn({ type: "MultiLineString", coordinates: [coordinates, coordinates] }).length, 2);
  assert.deepEqual([linesIn(undefined), linesIn({ type: "Polygon", coordinates: [coordinates] })], [[], []]);
});
