import assert from "node:assert/strict";
import test from "node:test";
import { onPhone, property, self, until } from "./phone.test.ts";
import { sameEntries } from "./refold.ts";
import type { EntryRow } from "./schema.ts";

const row = (id: string, text = id): EntryRow => ({
  ...{ id, text, property: "p", feature: "f", device: "d", seq: 1, stamp: "", n: 0, arrivedMS: 0, savedMS: 0 },
});

test("entries are the same as before while none was added, taken away or relabelled", () => {
  const before = [row("a"), row("b")];
  for (const [now, want] of [
    [[row("a"), row("b")], true],
    [[row("a")], false],
    [[row("a"), row("b"), row("c")], false],
    [[row("a"), row("b", "relabelled")], false],
    [[row("a"), row("c", "b")], false],
  ] as const)
    assert.equal(sameEntries(now, before), want, now.map((e) => e.text).join());
});

test("what got another number is folded again once, and shown so", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    await store.capture(property, [{ feature: "dam", set: { kind: "check-dam" } }]);
    const shown = async () => (await store.features(property)).map((f) => f.fields["folded"]);
    assert.deepEqual(await shown(), [undefined]);
    const other = await phone.open({
      gather: async (all) => all.map(({ feature }) => ({ feature, fields: { folded: true }, saw: {}, stamp: "1" })),
    });
    await other.features(property);
    await other.enrol(self("phone-2"));
    await until(async () => (await other.features(property))[0]?.fields["folded"] === true);
    await until(async () => (await shown())[0] === true); // on the other page too
    const again = await phone.open();
    await until(async () => (await again.db.read((open) => open.count("notes", "stale/dam"))) === 0);
    assert.equal(phone.gathered, 0, "it is done");
  }));
