// What a device knows of itself, and how that changes.

import assert from "node:assert/strict";
import test from "node:test";
import type { Feature } from "../base/entry.ts";
import type { Copied, Property, Self, StorageError } from "../storage/store.ts";
import { type DeviceState, deviceAtStart, mustEnrolAgain, reduceDevice } from "./state.ts";

const feature = (id: string, property = "a", stamp = "1"): Feature => ({
  ...{ id, property, stamp, struck: false, clashes: [], saw: {}, unsent: 0 },
  fields: { kind: "peg" },
});
const property = (id: string, into?: string): Property => ({ id, name: id, ...(into && { into }) });
const self = (...properties: Property[]): Self => ({ device: "d", token: "t", author: "R. Field", properties });
const [a, b] = [property("a"), property("b")];
const open: DeviceState = { ...deviceAtStart, opened: true, self: self(a, b), property: a, features: [feature("x")], featuresRead: true };
const ids = (state: DeviceState) => state.features.map((f) => `${f.id}${f.stamp}`);

test("the features that are read are those of the property that is open", () => {
  const read = reduceDevice(open, { do: "features", property: "a", features: [feature("y")] });
  assert.deepEqual([ids(read), read.featuresRead], [["y1"], true]);
  assert.equal(reduceDevice(open, { do: "features", property: "b", features: [feature("y")] }), open);
  const other = reduceDevice(open, { do: "property", property: b });
  assert.deepEqual([other.property, other.features, other.featuresRead], [b, [], false]);
});

test("a feature that changed takes its place, a new one comes last, another property's does not come", () => {
  const two = { ...open, features: [feature("x"), feature("y")] };
  const changed = (state: DeviceState, ...features: Feature[]) => ids(reduceDevice(state, { do: "changed", features }));
  assert.deepEqual(changed(two, feature("n"), feature("x", "a", "2")), ["x2", "y1", "n1"]);
  assert.deepEqual(changed(two, feature("n", "b")), ["x1", "y1"]);
  assert.deepEqual(changed(two), ["x1", "y1"]);
  assert.deepEqual(changed({ ...two, self: self(a, property("b", "a")) }, feature("n", "b")), ["x1", "y1", "n1"], "it is part of it");
  assert.deepEqual(changed({ ...two, property: null }, feature("n")), ["x1", "y1"]);
  assert.deepEqual(changed({ ...two, self: null }, feature("n")), ["x1", "y1", "n1"]);
});

test("what was read is read again where other properties are part of the one that is open", () => {
  const now = (given: Self, at: Property | null, state = open) =>
    reduceDevice(state, { do: "self", self: given, property: at }).featuresRead;
  assert.equal(now(self(a, b, property("c")), a), true);
  assert.equal(now(self(a, b), b), false);
  assert.equal(now(self(a, property("b", "a")), a), false);
  assert.equal(now(self(a, b), null), false);
  assert.equal(now(self(a), a, { ...open, self: null }), true);
  const none = { ...open, property: null };
  assert.equal(now(self(a), null, none), true);
  assert.deepEqual(reduceDevice(open, { do: "self", self: self(b), property: b }).features, []);
});

test("what a copy holds is known as long as there is trouble, and a device is enrolled again where it must be", () => {
  const trouble = { kind: "gone" } as StorageError;
  const copied: Copied = { entries: 1, photos: 0, drafts: 0 };
  const known = reduceDevice({ ...open, trouble }, { do: "copied", copied });
  assert.equal(known.copied, copied);
  assert.equal(reduceDevice(known, { do: "trouble", trouble, cloned: false }).copied, copied);
  const well = reduceDevice(known, { do: "trouble", trouble: null, cloned: true });
  assert.deepEqual([well.copied, well.trouble, well.cloned], [undefined, null, true]);
  const refused = (state: string) => ({ ...open, sync: { state } }) as unknown as DeviceState;
  assert.deepEqual([open, { ...open, cloned: true }, { ...open, trouble }, refused("refused"), refused("quiet")].map(mustEnrolAgain), [
    false,
    true,
    true,
    true,
    false,
  ]);
});
