import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import test from "node:test";
import { isFlat } from "./resize.ts";
import { sizeOfJPEG } from "./jpeg.ts";

const sizes = [
  [1, 1],
  [64, 48],
  [640, 480],
  [333, 1001],
  [5776, 9],
  [9, 4336],
] as const;

const nameOf = (width: number, height: number, progressive: boolean) => `${width}x${height}${progressive ? "p" : ""}.jpg`;

/** JPEGs of all sizes made by GDAL, which has nothing of ours in it, in one process: each takes as long to start as many tests. */
const files = ((): ReadonlyMap<string, Uint8Array> => {
  const dir = mkdtempSync(join(tmpdir(), "jpeg"));
  try {
    const jobs = sizes.flatMap(([width, height]) =>
      [false, true].map((progressive) => {
        const how = `width=${width}, height=${height}, creationOptions=["PROGRESSIVE=${progressive ? "ON" : "OFF"}"]`;
        return `gdal.Translate("${nameOf(width, height, progressive)}", picture, format="JPEG", ${how})`;
      }),
    );
    const script = [
      `from osgeo import gdal`,
      `gdal.UseExceptions()`,
      `picture = gdal.GetDriverByName("MEM").Create("", 8, 8, 3)`,
      ...[90, 120, 60].map((value, i) => `picture.GetRasterBand(${i + 1}).Fill(${value})`),
      ...jobs,
    ];
    execFileSync("/usr/bin/python3", ["-I", "-c", script.join("\n")], { cwd: dir });
    return new Map(readdirSync(dir).map((name) => [name, Uint8Array.from(readFileSync(join(dir, name)))]));
  } finally {
    rmSync(dir, { recursive: true });
  }
})();
const made = (width: number, height: number, progressive = false): Uint8Array => files.get(nameOf(width, height, progressive))!;

/** A segment of Exif with one orientation, put behind the start marker. */
function withOrientation(file: Uint8Array, orientation: number, little: boolean): Uint8Array {
  const tiff = new DataView(new ArrayBuffer(26));
  tiff.setUint16(0, little ? 0x4949 : 0x4d4d);
  tiff.setUint16(2, 42, little);
  tiff.setUint32(4, 8, little);
  tiff.setUint16(8, 1, little);
  tiff.setUint16(10, 0x0112, little);
  tiff.setUint16(12, 3, little);
  tiff.setUint32(14, 1, little);
  tiff.setUint16(18, orientation, little);
  const exif = [...new TextEncoder().encode("Exif\0\0"), ...new Uint8Array(tiff.buffer)];
  return Uint8Array.from([...file.subarray(0, 2), 0xff, 0xe1, 0, exif.length + 2, ...exif, ...file.subarray(2)]);
}

test("size of files that GDAL wrote", () => {
  for (const [width, height] of sizes) {
    for (const progressive of [false, true]) {
      const said = sizeOfJPEG(made(width, height, progressive));
      assert.deepEqual(said, { width, height, turned: false }, nameOf(width, height, progressive));
    }
  }
});

test("tables may come before the frame", () => {
  const file = made(640, 480);
  const at = file.findIndex((b, i) => b === 0xff && file[i + 1] === 0xc4);
  assert.ok(at > 0);
  const table = file.subarray(at, at + 2 + ((file[at + 2]! << 8) | file[at + 3]!));
  assert.deepEqual(sizeOfJPEG(Uint8Array.from([...file.subarray(0, 2), ...table, ...file.subarray(2)])), {
    width: 640,
    height: 480,
    turned: false,
  });
});

test("orientation", () => {
  const file = made(64, 48);
  for (const little of [true, false]) {
    for (let o = 1; o <= 8; o++)
      assert.equal(sizeOfJPEG(withOrientation(file, o, little))?.turned, o !== 1, `orientation ${o}, little-endian ${little}`);
  }
});

test("a file that says nothing of its orientation is not turned", () => {
  const file = made(64, 48);
  const other = withOrientation(file, 6, true);
  const tag = other.findIndex((b, i) => b === 0x12 && other[i + 1] === 0x01);
  other[tag] = 0x13; // another entry of the same list
  assert.deepEqual(sizeOfJPEG(other), { width: 64, height: 48, turned: false });
});

test("what is cut off, or no JPEG, has no size", () => {
  const file = made(64, 48);
  for (let end = 0; end < file.length; end++) {
    assert.equal(sizeOfJPEG(file.subarray(0, end)), undefined, `the first ${end} of ${file.length} bytes`);
  }
  assert.equal(sizeOfJPEG(new TextEncoder().encode("not a picture at all")), undefined);
  const random = withOrientation(file, 1, true);
  for (let i = 0; i < random.length; i++) sizeOfJPEG(Uint8Array.from(random, (b, at) => (at === i ? b ^ 0xff : b))); // answers, whatever it is
});

test("notes that cannot be read may say that the picture is to be turned", () => {
  const file = made(64, 48);
  const turned = (change: (notes: Uint8Array) => void, orientation = 1) => {
    const other = withOrientation(file, orientation, true);
    change(other.subarray(12)); // from the order of bytes on
    return sizeOfJPEG(other)?.turned;
  };
  assert.equal(
    turned(() => undefined),
    false,
  );
  assert.equal(
    turned((notes) => void (notes[0] = 0)),
    true,
    "in no order of bytes",
  );
  assert.equal(
    turned((notes) => void (notes[4] = 200)),
    true,
    "a list that lies beyond the notes",
  );
  assert.equal(
    turned((notes) => void (notes[8] = 2)),
    true,
    "a list that is cut off",
  );
  const cutOff = [...new TextEncoder().encode("Exif\0\0"), 0x49, 0x49, 42, 0, 8, 0, 0, 0];
  const short = Uint8Array.from([...file.subarray(0, 2), 0xff, 0xe1, 0, 2 + cutOff.length, ...cutOff, ...file.subarray(2)]);
  assert.equal(sizeOfJPEG(short)?.turned, true, "notes with no list");
  const other = withOrientation(file, 6, true);
  other[6] = 0; // no "Exif"
  assert.equal(sizeOfJPEG(other)?.turned, false, "notes of another kind");
});

test("segments follow each other, and what is none ends them", () => {
  const frame = [0xff, 0xc0, 0, 7, 8, 3, 4, 1, 2];
  const width = (...before: readonly number[]) => sizeOfJPEG(Uint8Array.from([0xff, 0xd8, ...before, ...frame, 0xff, 0xd9]))?.width;
  assert.equal(width(0xff, 0xfe, 0, 2), 0x0102, "an empty remark");
  assert.equal(width(0xff, 0xfe, 0, 1), undefined, "no segment is so short");
  assert.equal(width(0xff, 0xfe, 0, 3, 65), 0x0102);
  assert.equal(width(0xff), 0x0102, "a byte that fills");
  const [, ...unmarked] = frame;
  assert.equal(sizeOfJPEG(Uint8Array.from([0xff, 0xd8, 0, ...unmarked, 0xff, 0xd9])), undefined, "a frame with no marker");
});

test("a frame header is read by its marker, and must have a size", () => {
  const frame = (marker: number, ...size: readonly number[]) =>
    sizeOfJPEG(Uint8Array.from([0xff, 0xd8, 0xff, marker, 0, 3 + size.length, 8, ...size, 0xff, 0xd9]));
  const size = { width: 0x0102, height: 0x0304, turned: false };
  for (let marker = 0xc0; marker <= 0xcf; marker++) {
    const want = [0xc4, 0xc8, 0xcc].includes(marker) ? undefined : size;
    assert.deepEqual(frame(marker, 3, 4, 1, 2), want, marker.toString(16));
  }
  assert.equal(frame(0xbf, 3, 4, 1, 2), undefined);
  assert.deepEqual([frame(0xc0, 0, 0, 1, 2), frame(0xc0, 3, 4, 0, 0), frame(0xc0, 3, 4)], [undefined, undefined, undefined]);
  assert.deepEqual(frame(0xc0, 0, 1, 0, 1), { width: 1, height: 1, turned: false });
  assert.equal(sizeOfJPEG(Uint8Array.from([0xff, 0xd8, 0xff, 0xd9])), undefined);
  assert.equal(sizeOfJPEG(Uint8Array.from([0xff, 0xd9])), undefined);
});

test("one colour, within what packing adds", () => {
  const of = (...values: number[]) => values.flatMap((v) => [v, 100, 100, 255]);
  assert.equal(isFlat(of(90, 92, 93)), true);
  assert.equal(isFlat(of(90, 94)), false);
  assert.equal(isFlat(of(0, 0, 0)), true);
  assert.equal(isFlat([0, 0, 0, 0, 0, 0, 9, 255]), false, "in blue alone");
  assert.equal(isFlat([0, 0, 0, 0, 0, 0, 0, 255]), true, "how much shines through is no colour");
});
