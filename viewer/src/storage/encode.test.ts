import assert from "node:assert/strict";
import test from "node:test";
import type { Entry } from "../base/entry.ts";
import { StorageError } from "./store.ts";
import { cleaned, encode, isAuthor, isID, localTime } from "./encode.ts";

const entry: Entry = {
  v: 1,
  id: "019abc00-0000-7000-8000-000000000001",
  property: "p",
  feature: "f",
  device: "d",
  deviceSeq: 7,
  stamp: "0000019abc000000",
  seenAt: "2026-11-25T09:30:00.000+10:00",
  author: "R. Field",
};

test("an entry has the members that it has, and no others", () => {
  const always = ["v", "id", "property", "feature", "device", "deviceSeq", "stamp", "seenAt", "author"];
  for (const [more, members] of [
    [{}, []],
    [{ saw: {} }, []],
    [{ saw: { e: 3 } }, ["saw"]],
    [{ set: { name: "A" } }, ["set"]],
    [{ strike: true }, ["strike"]],
    [{ strike: false }, ["strike"]],
    [{ saw: { e: 3 }, set: { name: null }, strike: true }, ["saw", "set", "strike"]],
  ] as [Partial<Entry>, string[]][]) {
    const read = JSON.parse(encode({ ...entry, ...more })) as object;
    assert.deepEqual(Object.keys(read), [...always, ...members], JSON.stringify(more));
    assert.deepEqual(read, JSON.parse(JSON.stringify({ ...entry, ...more, saw: members.includes("saw") ? more.saw : undefined })));
  }
  assert.equal((JSON.parse(encode(entry, 1234.5)) as { steadyMS: number }).steadyMS, 1235);
});

test("what the server would refuse is refused before it is called saved", () => {
  const refuses = (what: string, run: () => unknown) => assert.throws(run, StorageError, what);
  const fields = (n: number) => Object.fromEntries(Array.from({ length: n }, (_, i) => [`f${i}`, 1]));
  assert.equal(Object.keys(cleaned(fields(256))).length, 256);
  refuses("257 fields", () => cleaned(fields(257)));
  refuses("none", () => cleaned({}));
  refuses("none that is given", () => cleaned({ a: undefined }));
  assert.deepEqual(cleaned({ a: undefined, b: null, c: [1, { d: undefined, e: "x" }] }), { b: null, c: [1, { e: "x" }] });
  for (const name of ["a", "Höhe", "x-depth_m", "a b", "a.b:c", "n".repeat(64), "é".repeat(32), "2"])
    assert.deepEqual(cleaned({ [name]: 1 }), { [name]: 1 });
  for (const name of ["", " a", "a ", "-a", "strike", "a/b", "n".repeat(65), "é".repeat(33), "½"])
    refuses(name, () => cleaned({ [name]: 1 }));
  refuses("not a number", () => cleaned({ a: NaN }));
  refuses("endless", () => cleaned({ a: Infinity }));
  refuses("a function", () => cleaned({ a: () => 1 }));
  assert.deepEqual(cleaned({ a: "half \ud800 a pair" }), { a: "half \ufffd a pair" });
  const nested = (depth: number): unknown => (depth === 0 ? 1 : [nested(depth - 1)]);
  cleaned({ a: nested(30) });
  refuses("nested 31 deep", () => cleaned({ a: nested(31) }));
  const named = (depth: number): unknown => (depth === 0 ? 1 : { b: named(depth - 1) });
  assert.deepEqual(cleaned({ a: named(30) }), { a: named(30) });
  refuses("named 31 deep", () => cleaned({ a: named(31) }));
  const long = (bytes: number) => encode({ ...entry, set: { a: "x".repeat(bytes) } });
  const most = (256 << 10) - long(0).length;
  assert.equal(long(most).length, 256 << 10);
  refuses("a byte too long", () => long(most + 1));
});

test("ids and names", () => {
  for (const [text, id] of [
    ["a", true],
    ["a-0", true],
    ["a".repeat(64), true],
    ["a".repeat(65), false],
    ["", false],
    ["A", false],
    ["a_b", false],
  ] as const)
    assert.equal(isID(text), id, text);
  for (const [text, name] of [
    ["R", true],
    ["", false],
    ["x".repeat(200), true],
    ["x".repeat(201), false],
    ["😀".repeat(200), true],
    ["a\nb", false],
  ] as const)
    assert.equal(isAuthor(text), name, text);
});

test("the time is the phone's own, with its zone", () => {
  for (const [minutes, want] of [
    [-600, "2026-11-25T09:30:00.000+10:00"],
    [210, "2026-11-24T20:00:00.000-03:30"],
    [0, "2026-11-24T23:30:00.000+00:00"],
    [-345, "2026-11-25T05:15:00.000+05:45"],
  ] as const) {
    const at = new Date("2026-11-24T23:30:00Z");
    at.getTimezoneOffset = () => minutes;
    assert.equal(localTime(at), want);
  }
});
