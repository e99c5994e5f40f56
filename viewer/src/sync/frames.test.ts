import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import test from "node:test";
import { decode, encode, Load, type Sent } from "./frames.ts";

// The samples are written by sync/wire: what one end writes the other must read.
const samples = ["version1", "version2"].flatMap((version) =>
  readdirSync(`sync/wire/testdata/${version}`).map((file) => ({
    name: file.replace(".txt", ""),
    path: `sync/wire/testdata/${version}/${file}`,
  })),
);
const sample = (name: string): string => readFileSync(samples.find((s) => s.name === name)!.path, "utf8").replace(/\n$/, "");

const hash = "3ba8d02b16fd2a01c1a8ba1a1f036d7ce386ed953696fa57331c2ac48a80b255";
const epoch = "019a0000-0000-7000-8000-0000000000ee";
const [id1, id2, id3] = [1, 2, 3].map((n) => `019a0000-0000-7000-8000-00000000000${n}`) as [string, string, string];
const entries = [`{"v":1,"id":"${id1}","note":"a < b & c, 12.50 \\n ü"}`, `{ "v" : 1e0, "id":"${id2}" }`];

const sent: { [name: string]: Sent } = {
  hello: { type: "hello", version: 1, token: "a token", device: "device-1", clockMS: 1764066000123 },
  push: { type: "push", push: 3, property: "creek", entries },
  pull: { type: "pull", property: "creek", at: { epoch, n: 7, hash }, entries: 25 },
  begin: { type: "begin", property: "hut", name: "Old Hut" },
  missing: { type: "missing", property: "creek", ids: [id1, id2] },
};

const came: { [name: string]: object } = {
  welcome: {
    type: "welcome",
    version: 1,
    device: "device-1",
    clockMS: 1764066000456,
    properties: ["creek", "ridge"],
    epoch: "019a0000-0000-7000-8000-0000000000ee",
    limits: { entries: 256, bytes: 1048576 },
    pingMS: 10000,
    about: [],
  },
  "welcome-about": {
    type: "welcome",
    version: 2,
    device: "device-1",
    clockMS: 1764066000456,
    properties: ["creek", "hut"],
    epoch: "019a0000-0000-7000-8000-0000000000ee",
    limits: { entries: 256, bytes: 1048576 },
    pingMS: 10000,
    about: [
      { id: "creek", name: "Creek Block" },
      { id: "hut", name: "Old Hut", into: "creek" },
    ],
  },
  begun: { type: "begun", property: { id: "hut", name: "Old Hut", begun: true } },
  receipts: {
    type: "receipts",
    push: 3,
    property: "creek",
    receipts: [
      { id: id1, n: 8, highSeq: 4, clockOffS: -90000 },
      { id: id2, n: 2, known: true, highSeq: 4 },
      { id: id3, refused: "deviceSeq: is taken", cloned: true, highSeq: 4 },
    ],
  },
  page: {
    type: "page",
    property: "creek",
    first: 8,
    arrivedMS: [1764066000456, 1764066000456],
    at: { epoch, n: 7, hash },
    last: 0,
    more: true,
    entries,
  },
  "page-last": {
    type: "page",
    property: "creek",
    first: 8,
    arrivedMS: [1764066000456],
    at: { epoch, n: 7, hash },
    last: 5000,
    more: true,
    entries: entries.slice(0, 1),
  },
  forked: {
    type: "forked",
    property: "creek",
    epochs: [
      { id: epoch, branch: 0 },
      { id: "019a0000-0000-7000-8000-0000000000ef", branch: 7 },
    ],
    marks: [
      { epoch, n: 7, hash },
      { epoch, n: 0, hash: "0".repeat(64) },
    ],
  },
  lacks: { type: "lacks", property: "creek", ids: [id2] },
  hint: { type: "hint", property: "creek", n: 9 },
  wanted: {
    type: "wanted",
    photos: [
      "7692c3ad3540bb803c020b3aee66cd8887123234ea0c6e7143c0add73ff431ed",
      "3fc4ccfe745870e2c0d99f71f30ff0656c8dedd41cc1d7d3d376b0dbe685e2f3",
    ],
  },
  later: { type: "later", afterMS: 1000, withinMS: 30000 },
  problem: {
    type: "problem",
    push: 3,
    property: "ridge",
    closing: true,
    problem: { path: "property", reason: "this device has no right to it", fix: "ask the office" },
  },
};

test("every sample of the protocol is written or read here", () => {
  const names = samples.map((s) => s.name).sort();
  assert.deepEqual([...Object.keys(sent), ...Object.keys(came)].sort(), names);
});

for (const [name, frame] of Object.entries(sent)) {
  test(`a ${name} is written as the server's samples have it`, () => assert.equal(encode(frame), sample(name)));
}

for (const [name, frame] of Object.entries(came)) {
  test(`a ${name} is read from the server's samples`, () => assert.deepEqual({ ...decode(sample(name)) }, frame));
}

test("what is absent is zero, and a null list is empty", () => {
  assert.deepEqual({ ...decode('{"type":"lacks","property":"creek","ids":null}') }, { type: "lacks", property: "creek", ids: [] });
  assert.deepEqual(
    { ...decode('{"type":"problem","problem":{"reason":"r"}}') },
    { type: "problem", push: 0, property: "", closing: false, problem: { reason: "r" } },
  );
});

test("a type from a newer version is passed over, and what is no frame is refused", () => {
  assert.equal(decode('{"type":"later-invention","x":1}'), null);
  for (const bad of [
    "",
    "[]",
    "{}",
    "null",
    "5",
    '"hint"',
    '{"type":3}',
    "not JSON",
    '{"type":"hint","n":"nine"}',
    '{"type":"page","arrivedMS":[1],"at":{"epoch":"","n":1,"hash":""}}',
  ]) {
    assert.throws(
      () => decode(bad),
      (e) => !(e instanceof TypeError),
      `decode(${JSON.stringify(bad)}) gave no error`,
    );
  }
});

test("a frame has half as many entries after a line that carried nothing, and twice as many after one that did", () => {
  const load = new Load();
  const sizes = (act: "broke" | "through", times: number) =>
    Array.from({ length: times }, () => {
      load[act]();
      return load.entries;
    });
  assert.equal(load.entries, 100);
  assert.deepEqual(sizes("broke", 8), [50, 25, 12, 6, 3, 1, 1, 1]);
  assert.deepEqual(sizes("through", 8), [2, 4, 8, 16, 32, 64, 100, 100]);
});
