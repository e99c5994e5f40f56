import assert from "node:assert/strict";
import test from "node:test";
import { backedUpIn, copiedIn, draftRecord, entryRecord, photoRecord, selfRecord, seqRecord } from "./backuprecords.ts";

const entry = (id: string, property: string, device: string, deviceSeq: number) =>
  entryRecord({ id, property, text: JSON.stringify({ device, deviceSeq }) });

test("entries come back property after property, and of each device in the order of its numbers", () => {
  const records = [
    entry("a", "ridge", "d", 1),
    entry("b", "creek", "e", 1),
    entry("c", "creek", "d", 10),
    entry("d", "creek", "e", 12),
    entry("e", "creek", "d", 9),
    entry("f", "hut", "d", 2),
  ];
  const want = ["e", "c", "b", "d", "f", "a"];
  for (let turn = 0; turn < records.length; turn++) {
    records.push(records.shift()!);
    assert.deepEqual(
      backedUpIn(records).entries.map((e) => e.id),
      want,
    );
  }
});

test("records are read as they were written, and bytes that are not there are not brought back", () => {
  const self = { device: "d", token: "t", author: "R. Field", properties: [] };
  const bytes = new ArrayBuffer(2);
  const records = [
    selfRecord(self),
    seqRecord({ device: "d", property: "creek", seq: 7 }),
    { ...photoRecord("aa", ["dam"], bytes), size: 2 },
    photoRecord("bb", ["dam"], bytes),
    { ...draftRecord("photo/x", bytes), size: 2 },
    draftRecord("form/y", { text: "half" }),
    { key: "of a newer page", value: 1 },
  ];
  assert.deepEqual(backedUpIn(records), {
    self,
    seqs: [{ device: "d", property: "creek", seq: 7 }],
    entries: [],
    photos: [{ sha: "aa", features: ["dam"], size: 2 }],
    drafts: new Map([["form/y", { text: "half" }]]),
    byteDrafts: ["photo/x"],
  });
  assert.deepEqual(copiedIn(records), { entries: 0, photos: 2, drafts: 2 });
  assert.equal(copiedIn(records.slice(1)), null, "whose it is is not known");
});
