// What stands in the place of the screens: of what is known of a device, one thing.

import assert from "node:assert/strict";
import test from "node:test";
import type { VNode } from "preact";
import type { Copied, Self, StorageError, Store } from "../storage/store.ts";
import { Enrol } from "./enrol.tsx";
import { gate } from "./gate.tsx";
import { Lost } from "./lost.tsx";
import { deviceAtStart, type DeviceState } from "./state.ts";

const Stopped = () => null;
const enrolled = { opened: true, self: { device: "d1" } as Self };
const lost = { kind: "gone", message: "It is gone.", todo: "Enrol." } as StorageError;
const copied: Copied = { entries: 1, photos: 0, drafts: 0 };

const standing = (known: Partial<DeviceState>, { address = "#/", ready = known.self !== undefined, isOpen = true } = {}) => {
  const store = isOpen ? ({} as Store) : undefined;
  const later = async () => {};
  const found = gate({ state: { ...deviceAtStart, ...known, address }, store, ready, Stopped, bringBack: later, enrolled: later });
  if (found === null) return "screens";
  const { type } = found as VNode;
  return type === Stopped ? "stopped" : type === Enrol ? "enrol" : type === Lost ? "lost" : "opening";
};

test("the screens are there once the store is open and the device enrolled, unless it enrols again", () => {
  assert.equal(standing(enrolled), "screens");
  assert.equal(standing(enrolled, { address: "#/enrol" }), "enrol");
  assert.equal(standing(enrolled, { address: "#/enrol/ABCDE-12345" }), "enrol");
  assert.equal(standing(enrolled, { ready: false }), "enrol");
  assert.equal(standing({ opened: true }), "enrol");
  assert.equal(standing({ ...enrolled, opened: false }), "opening");
  assert.equal(standing(enrolled, { isOpen: false }), "opening");
  assert.equal(standing({ ...enrolled, stop: { what: "It does not open.", todo: "Wait." } }), "stopped");
});

test("what was lost comes back from its copy, where there is one", () => {
  const trouble = lost;
  assert.equal(standing({ ...enrolled, trouble }), "opening", "it is not known yet whether there is a copy");
  assert.equal(standing({ ...enrolled, trouble, copied }), "lost");
  assert.equal(standing({ ...enrolled, trouble, copied }, { address: "#/enrol" }), "enrol");
  assert.equal(standing({ ...enrolled, trouble, copied: null }), "screens");
  assert.equal(standing({ opened: true, trouble, copied: null }), "enrol");
  assert.equal(standing({ ...enrolled, copied }), "screens", "nothing is lost");
});

test("nobody enrols over a store that may still be read", () => {
  for (const [kind, self, want] of [
    ["damaged", null, "stopped"],
    ["closed", null, "stopped"],
    ["full", null, "enrol"],
    ["damaged", enrolled.self, "enrol"],
  ] as const) {
    const trouble = { ...lost, kind } as StorageError;
    assert.equal(standing({ opened: true, self, trouble }, { ready: false }), want, `${kind} ${self?.device}`);
  }
});
