// What the server tells of its register, on a phone that records meanwhile or has lost a receipt.

import assert from "node:assert/strict";
import test from "node:test";
import { entryOf, onPhone, property, Register, self, type Phone } from "./phone.test.ts";

async function enrolled(phone: Phone): Promise<void> {
  await phone.open();
  await phone.store.enrol(self("phone-1"));
}

const waiting = async (phone: Phone) => (await phone.store.outbox.waiting(property, Infinity, Infinity)).map((w) => w.text);

test("an entry that comes back is sent, also where its receipt was lost", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { store } = phone;
    await store.capture(property, [{ feature: "dam", set: { kind: "check-dam" } }]);
    await store.capture(property, [{ feature: "peg", set: { kind: "peg" } }]);
    const register = new Register();
    register.take(...(await waiting(phone)));
    await store.capture(property, [{ feature: "peg", set: { name: "A" } }]);
    await store.outbox.apply(property, [register.page(0)]);
    const { entries, unsent } = await store.counts();
    assert.deepEqual([phone.gathered, entries, unsent, (await waiting(phone)).length], [0, 3, 1, 1]);
    assert.deepEqual(
      (await store.features(property)).map((f) => [f.id, f.unsent]),
      [
        ["dam", 0],
        ["peg", 1],
      ],
    );
  }));

test("what comes in is tried again as often as something is recorded meanwhile, ten times at most", () =>
  onPhone(async (phone) => {
    await enrolled(phone);
    const { store } = phone;
    const register = new Register();
    register.take(entryOf("dam", { kind: "check-dam", name: "theirs" }));
    const recording = async (times: number): Promise<unknown> => {
      if (times > 1) phone.meanwhile = () => recording(times - 1);
      return store.capture(property, [{ feature: "dam", set: { heightM: times } }]);
    };
    phone.meanwhile = () => recording(10);
    await assert.rejects(store.outbox.apply(property, [register.page(0)]), /could not be taken between two saves/);
    assert.deepEqual([phone.gathered, await store.outbox.position(property)], [10, undefined]);
    phone.meanwhile = () => recording(9);
    await store.outbox.apply(property, [register.page(0)]);
    assert.deepEqual([phone.gathered, await store.outbox.position(property)], [20, register.at()]);
    assert.equal((await store.feature("dam"))!.unsent, 19);
  }));
