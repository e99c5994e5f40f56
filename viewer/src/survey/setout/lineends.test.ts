import assert from "node:assert/strict";
import test from "node:test";
import type { Geometry, Position } from "../../base/entry.ts";
import { atEnd, atStart, endWords, lineOf, piecesOf } from "./lineends.ts";

const [a, b, c, d]: Position[] = [
  [146.5, -20.25],
  [146.5, -20.24],
  [146.5, -20.23],
  [146.5, -20.22],
];
const line = (...coordinates: Position[]): Geometry => ({ type: "LineString", coordinates });
const lines = (...coordinates: Position[][]): Geometry => ({ type: "MultiLineString", coordinates });

test("a line has two places at least, and a walked one the pieces that are lines", () => {
  assert.deepEqual(lineOf(line(a!, b!)), [a, b]);
  for (const none of [line(a!), line(), lines([a!, b!]), { type: "Point", coordinates: a! } as Geometry, null, undefined])
    assert.equal(lineOf(none), undefined);
  assert.deepEqual(piecesOf(lines([a!, b!], [c!], [c!, d!])), [
    [a, b],
    [c, d],
  ]);
  assert.deepEqual(piecesOf(line(a!, b!)), [[a, b]]);
  for (const none of [lines([a!], [b!]), lines(), line(a!), null]) assert.equal(piecesOf(none), undefined);
});

test("the end of chainage 0 is called by the side on which it lies", () => {
  assert.equal(endWords(atStart, line(a!, b!)), "south end");
  assert.equal(endWords(atEnd, line(a!, b!)), "north end");
  assert.equal(endWords(atStart, lines([a!, b!], [c!, d!])), "south end");
  assert.equal(endWords(atEnd, lines([d!, c!], [b!, a!])), "south end");
  for (const zero of ["", "elsewhere"]) assert.equal(endWords(zero, line(a!, b!)), undefined);
  assert.equal(endWords(atStart, line(a!)), undefined);
});
