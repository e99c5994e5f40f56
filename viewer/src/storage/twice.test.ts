// Writes that run twice: the browser drops the connection before it has saved one, or after.

import assert from "node:assert/strict";
import test from "node:test";
import { entryOf, onPhone, property, read, Register, self, type Phone } from "./phone.test.ts";

/** Runs a job in which the browser saves the first write of a table, and says that it has broken it off. */
async function savedUntold<T>(table: string, job: () => Promise<T>): Promise<T> {
  const { prototype } = IDBTransaction;
  const { addEventListener } = prototype;
  let untold: IDBTransaction | undefined;
  prototype.addEventListener = function (this: IDBTransaction, name: string, listener: EventListenerOrEventListenerObject) {
    if (this.mode === "readwrite" && this.objectStoreNames.contains(table)) untold ??= this;
    if (untold !== this) return addEventListener.call(this, name, listener);
    if (name === "abort") addEventListener.call(this, "complete", listener);
  };
  try {
    return await job();
  } finally {
    Reflect.deleteProperty(prototype, "addEventListener");
    assert.ok(untold, "something was written");
  }
}

/** Runs a job in which the browser has dropped the connection. */
async function notSaved<T>({ store }: Phone, job: () => Promise<T>): Promise<T> {
  (await store.db.open()).close();
  return job();
}

const texts = async (phone: Phone) => (await phone.store.outbox.waiting(property, Infinity, Infinity)).map((w) => w.text);

test("what is recorded is there once, whether or not it was saved before the connection was lost", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    const record = (name: string) =>
      store.capture(property, [
        { feature: `dam-${name}`, set: { kind: "check-dam", name } },
        { feature: `visit-${name}`, set: { kind: "visit" }, photo: { bytes: new TextEncoder().encode(name).buffer, takenFor: "" } },
      ]);
    const saved = [
      ...(await savedUntold("entries", () => record("a"))),
      ...(await notSaved(phone, () => record("b"))),
      ...(await record("c")),
    ];
    const waiting = (await texts(phone)).map(read);
    assert.deepEqual(
      waiting.map((e) => [e.id, e.feature, e.deviceSeq]),
      saved.map(({ entry, feature }, i) => [entry, feature, i + 1]),
    );
    const { entries, unsent, photosUnsent, photoBytesUnsent } = await store.counts();
    assert.deepEqual([entries, unsent, photosUnsent, photoBytesUnsent], [6, 6, 3, 3]);
    assert.deepEqual((await store.features(property)).map((f) => f.id).sort(), saved.map((s) => s.feature).sort());
  }));

test("a property is begun once, whether or not it was saved before the connection was lost", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol({ ...self("phone-1"), properties: [] });
    const ids = [
      (await savedUntold("selves", () => store.beginProperty("Far Block"))).id,
      (await notSaved(phone, () => store.beginProperty("New Block"))).id,
    ];
    assert.deepEqual(
      store.self()!.properties.map((p) => [p.id, p.name]),
      [
        [ids[0], "Far Block"],
        [ids[1], "New Block"],
      ],
    );
  }));

test("what the server told is shown once, whether or not it was saved before the connection was lost", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    const names = async () => (await store.features(property)).map((f) => f.fields["name"]);
    const register = new Register();
    register.take(entryOf("peg", { kind: "peg", name: "A" }));
    assert.deepEqual(await names(), []);
    await savedUntold("positions", () => store.outbox.apply(property, [register.page(0)]));
    assert.deepEqual(await names(), ["A"]);
    register.take(entryOf("peg", { name: "B" }));
    await notSaved(phone, () => store.outbox.apply(property, [register.page(1)]));
    assert.deepEqual([await names(), (await store.counts()).entries, await store.outbox.position(property)], [["B"], 2, register.at()]);
  }));
