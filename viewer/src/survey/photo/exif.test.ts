import assert from "node:assert/strict";
import test from "node:test";
import { toldBy } from "./exif.ts";
import { dayTold, ofTheTap } from "./taken.ts";
import type { Shot } from "./pendingphotos.ts";

type Value = string | number | readonly (readonly [number, number])[];

/** A JPEG with an Exif segment of these tags (Exif 2.32, section 4.6; from memory). */
function withTags(own: ReadonlyMap<number, Value>, gps: ReadonlyMap<number, Value> | undefined, little: boolean): Uint8Array {
  const tiff = new DataView(new ArrayBuffer(1000));
  let free = 8;
  const list = (tags: ReadonlyMap<number, Value>): number => {
    const at = free;
    tiff.setUint16(at, tags.size, little);
    free += 2 + 12 * tags.size + 4;
    [...tags].forEach(([tag, value], i) => {
      const entry = at + 2 + 12 * i;
      const bytes = typeof value === "string" ? [...new TextEncoder().encode(value + "\0")] : undefined;
      const count = bytes ? bytes.length : typeof value === "number" ? 1 : value.length;
      tiff.setUint16(entry, tag, little);
      tiff.setUint16(entry + 2, bytes ? 2 : typeof value === "number" ? 4 : 5, little);
      tiff.setUint32(entry + 4, count, little);
      if (typeof value === "number") return tiff.setUint32(entry + 8, value, little);
      const to = bytes && bytes.length <= 4 ? entry + 8 : free;
      if (to === free) tiff.setUint32(entry + 8, free, little);
      if (bytes) bytes.forEach((b, j) => tiff.setUint8(to + j, b));
      else
        (value as readonly (readonly [number, number])[]).forEach(([n, of], j) => {
          tiff.setUint32(to + 8 * j, n, little);
          tiff.setUint32(to + 8 * j + 4, of, little);
        });
      if (to === free) free += bytes ? bytes.length + (bytes.length % 2) : 8 * count;
    });
    return at;
  };
  tiff.setUint16(0, little ? 0x4949 : 0x4d4d);
  tiff.setUint16(2, 42, little);
  tiff.setUint32(4, 8, little);
  free = 8 + 2 + 12 * (gps ? 2 : 1) + 4;
  const under = new Map<number, Value>([[0x8769, list(own)], ...(gps ? [[0x8825, list(gps)] as const] : [])]);
  const end = free;
  free = 8;
  list(under);
  const exif = [...new TextEncoder().encode("Exif\0\0"), ...new Uint8Array(tiff.buffer, 0, end)];
  return Uint8Array.from([
    0xff,
    0xd8,
    0xff,
    0xe0,
    0,
    4,
    0,
    0,
    0xff,
    0xe1,
    (exif.length + 2) >> 8,
    (exif.length + 2) & 255,
    ...exif,
    0xff,
    0xd9,
  ]);
}

const taken = (text: string) => new Map<number, Value>([[0x9003, text]]);
const gpsOf = (more: readonly (readonly [number, Value])[]) =>
  new Map<number, Value>([
    [1, "S"],
    [
      2,
      [
        [20, 1],
        [15, 1],
        [3036, 100],
      ],
    ],
    [3, "E"],
    [
      4,
      [
        [146, 1],
        [30, 1],
        [0, 1],
      ],
    ],
    ...more,
  ]);

test("time and place that a camera wrote", () => {
  for (const little of [true, false]) {
    const told = toldBy(withTags(taken("2024:03:01 10:22:33"), gpsOf([[0x1f, [[85, 10]]]]), little));
    assert.equal(told.takenAt, "2024-03-01T10:22:33");
    assert.ok(Math.abs(told.place!.lat + (20 + 15 / 60 + 30.36 / 3600)) < 1e-9 && Math.abs(told.place!.lon - 146.5) < 1e-9);
    assert.equal(told.place!.accuracyM, 8.5);
  }
});

test("what was never filled in is absent", () => {
  for (const text of ["0000:00:00 00:00:00", "    :  :     :  :  ", "2024:13:01 10:00:00", "2024:02:30 10:00:00", "yesterday", ""]) {
    assert.deepEqual(toldBy(withTags(taken(text), undefined, true)), {}, text);
  }
  const day = taken("2024:03:01 10:22:33");
  for (const [why, gps] of [
    ["no fix", gpsOf([[9, "V"]])],
    ["no way", gpsOf([[1, ""]])],
    [
      "noughts",
      new Map<number, Value>([
        [1, "N"],
        [
          2,
          [
            [0, 1],
            [0, 1],
            [0, 1],
          ],
        ],
        [3, "E"],
        [
          4,
          [
            [0, 1],
            [0, 1],
            [0, 1],
          ],
        ],
      ]),
    ],
    [
      "divided by nothing",
      gpsOf([
        [
          2,
          [
            [20, 1],
            [15, 0],
            [0, 0],
          ],
        ],
      ]),
    ],
    [
      "past the pole",
      gpsOf([
        [
          2,
          [
            [91, 1],
            [0, 1],
            [0, 1],
          ],
        ],
      ]),
    ],
  ] as const) {
    assert.deepEqual(toldBy(withTags(day, gps, false)), { takenAt: "2024-03-01T10:22:33" }, why);
  }
});

test("broken notes tell nothing, and end nothing", () => {
  const file = withTags(taken("2024:03:01 10:22:33"), gpsOf([]), true);
  for (let end = 0; end < file.length; end++) toldBy(file.subarray(0, end));
  for (let i = 0; i < file.length; i++) for (const by of [1, 0x80, 0xff]) toldBy(Uint8Array.from(file, (b, at) => (at === i ? b ^ by : b)));
  assert.deepEqual(toldBy(new TextEncoder().encode("not a picture at all")), {});
});

test("of the tap is what was taken after it and soon", () => {
  const atMS = new Date("2026-11-29T10:00:00").getTime();
  const shot: Shot = { id: "a", property: "p", of: "dam", named: "Dam", purpose: "record", atMS, stand: {}, stage: "expected" };
  const at = (time: string) => ({ takenAt: `2026-11-29T${time}` });
  for (const [why, from, told, fileMS, want] of [
    ["the camera's file", "camera", {}, atMS + 20_000, true],
    ["an old file where there is no camera", "camera", {}, atMS - 60_000, false],
    ["what the camera wrote counts before the file", "camera", { takenAt: "2024-03-01T10:22:33" }, atMS + 20_000, false],
    ["a camera that was open for an hour", "camera", {}, atMS + 3600_000, false],
    ["of the gallery, written just after the tap", "gallery", at("10:00:12"), 0, true],
    ["of the gallery, written before", "gallery", at("09:58:00"), atMS + 20_000, false],
    ["of the gallery, nothing written", "gallery", {}, atMS + 20_000, false],
  ] as const) {
    assert.equal(ofTheTap(shot, from, told, fileMS, atMS + 7200_000), want, why);
  }
  assert.equal(ofTheTap({ ...shot, gallery: true }, "gallery", at("10:00:12"), atMS, atMS + 60_000), false);
});

test("a day that is still to come is none", () => {
  assert.equal(dayTold({ takenAt: "2024-03-01T10:22:33" }, "2026-11-29"), "2024-03-01");
  assert.equal(dayTold({ takenAt: "2031-03-01T10:22:33" }, "2026-11-29"), undefined);
  assert.equal(dayTold({}, "2026-11-29"), undefined);
});

test("a picture is of the tap from five seconds before it to ten minutes after", () => {
  const shot: Shot = { id: "a", property: "p", of: "dam", named: "Dam", purpose: "record", atMS: 1e12, stand: {}, stage: "expected" };
  const taken = (afterMS: number, nowMS = 3600_000) => ofTheTap(shot, "camera", {}, 1e12 + afterMS, 1e12 + nowMS);
  assert.deepEqual(
    [-5001, -5000, 0, 600_000, 600_001].map((ms) => taken(ms)),
    [false, true, true, true, false],
  );
  assert.deepEqual(
    [65_000, 65_001].map((ms) => taken(ms, 60_000)),
    [true, false],
    "and not after now",
  );
  assert.equal(dayTold({ takenAt: "2026-11-29T10:22:33" }, "2026-11-29"), "2026-11-29");
});

test("times and places at the ends of what can be", () => {
  const at = (year: string) => toldBy(withTags(taken(`${year}:01:01 00:00:00`), undefined, true)).takenAt;
  assert.deepEqual([at("1900"), at("1901")], [undefined, "1901-01-01T00:00:00"]);
  const whole = (deg: number) =>
    [
      [deg, 1],
      [0, 1],
      [0, 1],
    ] as const;
  const place = (...more: readonly (readonly [number, Value])[]) => toldBy(withTags(taken(""), gpsOf(more), true)).place;
  assert.equal(place([2, whole(90)])!.lat, -90);
  assert.equal(place([4, whole(180)])!.lon, 180);
  assert.equal(place([4, whole(181)]), undefined);
  assert.equal(place([2, whole(0)])!.lon, 146.5, "on the equator");
  assert.equal(Math.abs(place([4, whole(0)])!.lon), 0, "on the first meridian");
  assert.equal("accuracyM" in place([0x1f, [[0, 10]]])!, false, "nobody knows it so well");
  assert.equal("accuracyM" in place()!, false);
  assert.equal(toldBy(withTags(taken("2024:03:01 10:22:33".padEnd(63)), undefined, true)).takenAt, "2024-03-01T10:22:33");
  assert.equal(toldBy(withTags(taken("2024:03:01 10:22:33".padEnd(64)), undefined, true)).takenAt, undefined, "longer than any time");
});

test("notes are found behind other segments, and not in the picture's data", () => {
  const file = withTags(taken("2024:03:01 10:22:33"), undefined, true);
  const told = (...parts: readonly (ArrayLike<number> | Uint8Array)[]) =>
    toldBy(Uint8Array.from(parts.flatMap((p) => Array.from(p)))).takenAt;
  const rest = file.subarray(2);
  const time = "2024-03-01T10:22:33";
  assert.equal(told([0xff, 0xd8], [0xff, 0xff], rest), time, "after a fill byte");
  assert.equal(told([0xff, 0xd8], [0xff, 0xe1, 0, 10, ...new TextEncoder().encode("http://n")], rest), time, "after notes of another kind");
  assert.equal(told([0xff, 0xd8], [0xff, 0xe1, 0, 12, ...new TextEncoder().encode("Exif\0\0abcd")], rest), time, "after notes too short");
  for (const marker of [0xda, 0xd9]) assert.equal(told([0xff, 0xd8], [0xff, marker, 0, 2], rest), undefined);
  assert.equal(told([0xff, 0xd8], [0xff, 0xe0, 0, 1], rest), undefined, "a segment without a length");
  assert.equal(told([0xff, 0xd9], rest), undefined);
  assert.equal(told([0xfe, 0xd8], rest), undefined);
  assert.equal(told([0xff, 0xd8, 0xff, 0xe2], file.subarray(8)), undefined, "in a segment of another marker");
});
