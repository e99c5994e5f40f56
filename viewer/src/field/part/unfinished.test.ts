// What is said of work that was begun and not saved, and where its button leads.

import assert from "node:assert/strict";
import test from "node:test";
import { type ComponentChild, h } from "preact";
import type { Feature, Fields } from "../../base/entry.ts";
import { newID } from "../../base/uuid.ts";
import { clock } from "../../base/words.ts";
import { drawn } from "../../device/page.test.ts";
import { newBook, openBook, type Book } from "../../survey/levelbook/book.ts";
import { write } from "../../survey/levelbook/write.ts";
import { UnfinishedBook, UnfinishedForm, UnfinishedLine, UnfinishedShape, UnfinishedVisit } from "./unfinished.tsx";

const item = (id: string, fields: Fields): Feature => ({
  id,
  property: "p",
  fields,
  struck: false,
  clashes: [],
  saw: {},
  stamp: `stamp of ${id}`,
  unsent: 0,
});
const peg = item("a", { kind: "peg", name: "P1", geometry: { type: "Point", coordinates: [146, -20] } });
const fence = item("b", { kind: "fence", name: "F1", geometry: { type: "LineString", coordinates: [] } });
const gateAt = new Date("2026-03-01T10:42:00Z");
const gate = item(newID(gateAt.getTime()), { kind: "gate", name: "Top gate" });
const features = [fence, peg];
const rows = [
  { point: "BM1", bs: 1.2, knownLevelM: 50 },
  { point: "2", is: 0.9 },
];
const saved = openBook(item("r", { kind: "level-run", name: "Run 1", observedOn: "2026-03-01", rows }));
const correcting = write(saved, { do: "correct", at: 1, stand: null });
const more = [...rows, { point: "3", is: 0.8 }];
const book = (of: Book) => h(UnfinishedBook, { book: of });
const shape = (id: string, stamp: string) => h(UnfinishedShape, { id, stamp, features });
const visit = (of: string, id: string) => h(UnfinishedVisit, { visit: { of, id }, features });

const cases: readonly [string, ComponentChild, string, string?, string?][] = [
  [
    "a form",
    h(UnfinishedForm, {
      form: { feature: "a", kind: "check-dam", values: { name: "D", material: "timber", crestHeightM: 0.4 } },
      features,
    }),
    "You were filling in a check dam. What you typed is not saved yet. D, Built from timber, Crest above bed 0.4 m.",
    "#/thing/a/edit",
  ],
  [
    "a form of an item with a name, which was begun at a time",
    h(UnfinishedForm, {
      form: { feature: gate.id, kind: "gate", values: { notes: "by the trough" } },
      features: [gate],
    }),
    `You were filling in a gate. What you typed is not saved yet. Top gate, begun ${clock(gateAt, new Date())}.`,
    `#/thing/${gate.id}/edit`,
  ],
  [
    "a row taken up again",
    book(correcting),
    "You were writing row 2 of the level book Run 1 again. The old reading counts until the new one is booked.",
    "#/level/r",
  ],
  [
    "a row half keyed",
    book(write(saved, { do: "key", key: "1" })),
    "You were keying row 3 of the level book Run 1. What you keyed is kept and not booked yet.",
    "#/level/r",
  ],
  [
    "rows that are not recorded",
    book({ ...saved, rows: more }),
    "You were writing a level book, Run 1, with 3 rows. It is kept on this phone and saved when you open it.",
    "#/level/r",
  ],
  [
    "such rows, and one taken up again",
    book({ ...correcting, rows: more }),
    "You were writing a level book, Run 1, with 3 rows. It is kept on this phone and saved when you open it.",
    "#/level/r",
  ],
  [
    "the first row of all",
    book(write(newBook("n", "Run 2", "2026-03-01"), { do: "key", key: "1" })),
    "You were keying row 1 of the level book Run 2. What you keyed is kept and not booked yet.",
    "#/level/n",
  ],
  [
    "a line",
    h(UnfinishedLine, { line: { kind: "fence", shape: "line", positions: 1 } }),
    "A fence of 1 point is not saved yet.",
    "#/line/fence/line",
    "Continue the fence",
  ],
  [
    "an area of a kind that begins with a vowel",
    h(UnfinishedLine, { line: { kind: "unsorted", shape: "area", positions: 3 } }),
    "An unsorted of 3 points is not saved yet.",
    "#/line/unsorted/area",
    "Continue the unsorted",
  ],
  ["a position", shape("a", "stamp of a"), "You were editing the position of P1. It is not saved yet.", "#/shape/a"],
  ["a shape", shape("b", "stamp of b"), "You were editing the shape of F1. It is not saved yet.", "#/shape/b"],
  ["a shape that was changed since", shape("b", "before"), ""],
  ["a shape of another property", shape("c", "stamp of c"), ""],
  ["a visit", visit("a", "v"), "You began a visit to P1. It is not saved yet.", "#/visit/a", "Continue the visit"],
  ["a visit that was saved when the phone died", visit("a", "b"), ""],
  ["a visit to what is of another property", visit("c", "v"), ""],
];

test("work that was begun says what is not saved, and leads on to it", () =>
  drawn(h("p", null, ""), async (page) => {
    for (const [name, part, words, to, button = "Continue"] of cases) {
      await page.draw(part);
      assert.equal(page.words, words && `${words} ${button}`, name);
      if (to) assert.equal(page.leads(button), to, name);
    }
  }));
