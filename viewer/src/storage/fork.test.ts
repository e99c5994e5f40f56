// A server that was restored, and a phone that has more than one property, photo and number.

import assert from "node:assert/strict";
import test from "node:test";
import { entryOf, onPhone, property, read, Register, self, type Phone } from "./phone.test.ts";

const far = { id: "far-block", name: "Far Block" };
const peg = { set: { kind: "peg" } };
const visit = (byte: number) => ({ set: { kind: "visit" }, photo: { bytes: new Uint8Array([byte]).buffer, takenFor: "" } });
const waiting = async (phone: Phone, of = property) => (await phone.store.outbox.waiting(of, Infinity, Infinity)).map((w) => w.text);
const counts = async (phone: Phone) => {
  const { entries, unsent, photosUnsent } = await phone.store.counts();
  return [entries, unsent, photosUnsent];
};

/** A phone with these on a property, all of it sent and come back. */
async function sent(phone: Phone, register: Register, of: string, drafts: Parameters<Phone["store"]["capture"]>[1]): Promise<void> {
  await phone.store.capture(of, drafts);
  await phone.store.outbox.settle(of, register.take(...(await waiting(phone, of))));
  await phone.store.outbox.apply(of, [register.page((await phone.store.outbox.position(of))?.n ?? 0)]);
  for (const { sha } of await phone.store.outbox.photosWaiting()) await phone.store.outbox.photoSent(sha);
}

test("only the photos of the property whose register was restored are in doubt, and each keeps its place", () =>
  onPhone(async (phone) => {
    await phone.open();
    await phone.store.enrol(self("phone-1", far));
    const [near, other] = [new Register(), new Register()];
    await sent(phone, near, property, [visit(1)]);
    await sent(phone, other, far.id, [visit(2)]);
    await phone.store.capture(property, [visit(3)]);
    await phone.store.capture(property, [visit(4)]);
    assert.deepEqual(await counts(phone), [4, 2, 2]);
    const before = (await phone.store.outbox.photosWaiting()).map((p) => p.sha);
    await phone.store.outbox.fork(property, [near.at(0)]);
    const after = await phone.store.outbox.photosWaiting();
    assert.deepEqual(
      after.slice(0, 2).map((p) => p.sha),
      before,
    );
    assert.deepEqual([after.length, (await phone.store.photos(after[2]!.feature)).length], [3, 1]);
    assert.deepEqual(await counts(phone), [4, 2, 3]);
    assert.equal(await phone.store.outbox.resendDue(far.id), false);
  }));

test("what the server lacks waits, whether or not it waited; what it has does not", () =>
  onPhone(async (phone) => {
    await phone.open();
    const { store } = phone;
    await store.enrol(self("phone-1"));
    const register = new Register();
    await sent(phone, register, property, [visit(1)]);
    const [a, b, c] = await store.capture(property, [peg, peg, visit(2)]);
    const refused = c!.entry;
    await store.outbox.settle(property, [{ id: refused, refused: "too far", highSeq: 4 }]);
    const own = await store.outbox.acknowledged(property);
    await store.outbox.offerAgain(property, [a!.entry, refused], [...own, refused]);
    assert.deepEqual(
      (await waiting(phone)).map((text) => read(text).id),
      [a!.entry],
    );
    assert.deepEqual([await counts(phone), (await store.feature(b!.feature))!.unsent], [[4, 1, 1], 0]);
    await store.outbox.offerAgain(property, own, own);
    assert.deepEqual([await counts(phone), (await waiting(phone)).length], [[4, 3, 2], 3]);
  }));

test("under a new number an entry has seen what this phone sent under the old one, and not what another phone did", () =>
  onPhone(async (phone) => {
    await phone.open();
    const { store } = phone;
    await store.enrol(self("phone-1"));
    const register = new Register();
    const name = (name: string) => [{ feature: "dam", set: { name } }];
    await sent(phone, register, property, [{ feature: "dam", set: { kind: "check-dam" } }]);
    await store.capture(property, name("mine"));
    await store.capture(property, name("mine too"));
    register.take(entryOf("dam", { name: "twin" }, { device: "phone-1", deviceSeq: 2 }));
    await store.outbox.apply(property, [register.page(1)]);
    await store.enrol(self("phone-2"));
    assert.deepEqual(
      (await waiting(phone)).map((text) => read(text).saw),
      [{ "phone-1": 1 }, { "phone-1": 1 }],
    );
    assert.deepEqual((await store.feature("dam"))!.saw, { "phone-1": 2, "phone-2": 2 });
  }));

test("the phone goes back no farther than it is, though the server is farther on what both have", () =>
  onPhone(async (phone) => {
    await phone.open();
    const { store } = phone;
    await store.enrol(self("phone-1"));
    const register = new Register();
    await sent(phone, register, property, [peg, peg, peg]);
    await store.outbox.fork(property, [register.at(1)]);
    await store.outbox.fork(property, [register.at(3), register.at(2), register.at(1)]);
    assert.deepEqual(await store.outbox.position(property), register.at(1), "what came after is fetched again");
  }));
