// The landholder's lists, as they are read aloud and reached by keyboard.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn } from "../device/page.test.ts";
import { ItemPanel } from "./itempanel.tsx";
import type { Item, Kind, Land } from "./land.ts";
import { Legend } from "./legend.tsx";
import { PrintList } from "./printlist.tsx";
import { useRows } from "./rows.tsx";
import { type Action, startWith } from "./state.ts";
import { WorkList } from "./worklist.tsx";

const kind = (name: string, label: string, work: boolean): Kind => ({
  name,
  label,
  plural: `${label}s`,
  work,
  mark: "",
  colour: "#333333",
  what: `What a ${label.toLowerCase()} is.`,
  care: `Leave the ${label.toLowerCase()} alone.`,
});
const item = (id: string, more: Partial<Item> = {}): Item => ({
  id,
  kind: "check-dam",
  name: id,
  status: "built",
  geometry: { type: "Point", coordinates: [146.5, -20.25] },
  wrong: [],
  plain: [],
  facts: [],
  photos: [],
  ...more,
});
const land = (works: Item[], others: Item[] = []): Land => ({
  property: { name: "Stony Block" },
  inspected: [],
  done: [],
  kinds: [kind("check-dam", "Check dam", true), kind("hazard", "Hazard", false), kind("gate", "Gate", false)],
  hazards: [],
  watch: [],
  works,
  others,
  sections: [],
  count: works.length + others.length,
});
const { status: _, ...unworked } = item("x");
const list = (works: Item[], others: Item[] = [], selected: string | null = null, acts: Action[] = [], shown = works) =>
  h(WorkList, { land: land(works, others), works: shown, selected, act: (a: Action) => void acts.push(a) });

test("works are listed by kind, those that failed first, each with how it stands", () =>
  drawn(list([item("D1"), item("D2", { state: "failed", status: "failed" }), item("D3", { state: "attention" })]), async (page) => {
    assert.match(page.words, /^List of works 3 check dams 2 to watch /);
    assert.deepEqual(
      page.presses.filter((p) => /D\d/.test(p)).map((p) => /D\d/.exec(p)![0]),
      ["D2", "D3", "D1"],
    );
    assert.match(page.presses.find((p) => p.includes("D1"))!, /[Bb]uilt/);
  }));

test("what has nothing to read is not listed; a hazard is; a press chooses", async () => {
  const acts: Action[] = [];
  await drawn(
    list(
      [item("D1")],
      [
        { ...unworked, id: "H1", name: "H1", kind: "hazard" },
        { ...unworked, id: "G1", name: "G1", kind: "gate" },
      ],
      "D1",
      acts,
    ),
    async (page) => {
      assert.ok(page.words.includes("1 hazard") && !page.words.includes("G1"), page.words);
      const dam = page.presses.find((p) => p.includes("D1"))!;
      assert.ok(page.isPressed(dam));
      const hazard = page.presses.find((p) => p.includes("H1"))!;
      assert.ok(!page.isPressed(hazard));
      await page.press(hazard);
      assert.deepEqual(acts, [{ do: "select", id: "H1", from: "list" }]);
    },
  );
});

test("with no works there is no list, and with all taken off the map it says why", async () => {
  await drawn(list([]), async (page) => assert.equal(page.words, ""));
  await drawn(list([item("D1")], [], null, [], []), async (page) =>
    assert.ok(page.words.includes("All works are taken off the map."), page.words),
  );
});

test("care is told of what stands, not of what is still to be built", async () => {
  const panel = (one: Item, closed = () => {}) =>
    h(ItemPanel, { item: one, kind: kind("check-dam", "Check dam", true), link: "/l/x", takeFocus: false, close: closed });
  let closed = 0;
  await drawn(
    panel(item("D1", { state: "failed", wrong: ["The crest is gone."], facts: [{ label: "Height", text: "0.4 m" }] }), () => closed++),
    async (page) => {
      await page.reads("The crest is gone.", "What to look after", "Leave the check dam alone.");
      assert.deepEqual(page.facts, { Height: "0.4 m" });
      await page.press(page.presses.find((p) => p.startsWith("Close "))!);
      assert.equal(closed, 1);
    },
  );
  await drawn(panel(item("D1")), async (page) => {
    await page.reads("What to look after");
    assert.ok(!page.words.includes("not on the map"), page.words);
  });
  await drawn(panel(item("D1", { geometry: null })), (page) => page.reads("No position was recorded: it is not on the map."));
  await drawn(panel(item("D1", { status: "proposed" })), async (page) => assert.ok(!page.words.includes("What to look after"), page.words));
});

test("what there is to read about an item is read, by what it is", async () => {
  const panel = (one: Item, of: Kind, closed = () => {}) =>
    h(ItemPanel, { item: one, kind: of, link: "/l/x", takeFocus: true, close: closed });
  const [dam, hazard] = [kind("check-dam", "Check dam", true), kind("hazard", "Hazard", false)];
  let closed = 0;
  await drawn(
    panel(item("D1", { state: "attention", plain: ["It holds."], seen: "Inspected in May." }), dam, () => closed++),
    async (page) => {
      await page.reads("Check dam, built", "Needs attention", "It holds. Inspected in May.");
      const head = page.find("h2#chosen")[0]!;
      assert.equal(page.window.document.activeElement as unknown, head);
      assert.equal(page.find(".fails").length, 0);
      for (const key of ["a", "Escape"]) {
        head.dispatchEvent(new page.window.KeyboardEvent("keydown", { key, bubbles: true }) as unknown as Event);
        assert.equal(closed, key === "Escape" ? 1 : 0);
      }
    },
  );
  await drawn(
    panel({ ...unworked, id: "H1", name: "H1", kind: "hazard", state: "danger", wrong: ["Keep back."] }, hazard),
    async (page) => {
      await page.reads("Hazard Keep back.", "Leave the hazard alone.");
      assert.ok(!page.words.includes("Hazard, "), page.words);
      assert.equal(page.find(".fails").length, 1);
      assert.equal(page.find("dl").length, 0);
    },
  );
  const { what: __, care: ___, ...bare } = dam;
  await drawn(panel(item("D1"), bare), async (page) => assert.equal(page.words.replace(/\s+/g, " "), "D1 Check dam, built"));
});

test("the kinds of a long list start closed, unless one of theirs is chosen or to be watched", async () => {
  const many = (n: number, more: (i: number) => Partial<Item> = () => ({})) =>
    Array.from({ length: n }, (_, i) => item(`D${i + 1}`, more(i)));
  const openOf = async (works: Item[], others: Item[] = [], selected: string | null = null) => {
    const open: boolean[] = [];
    await drawn(list(works, others, selected), async (page) => void open.push(...page.find("details").map((d) => d.hasAttribute("open"))));
    return open;
  };
  const hazard = { ...unworked, id: "H1", name: "H1", kind: "hazard" };
  assert.deepEqual(await openOf(many(12), [hazard]), [true, false]);
  assert.deepEqual(await openOf(many(13)), [false]);
  assert.deepEqual(await openOf(many(13), [], "D7"), [true]);
  assert.deepEqual(await openOf(many(1), [hazard], "H1"), [true, true]);
  assert.deepEqual(await openOf(many(13, (i) => (i === 3 ? { state: "failed" } : {}))), [false], "to be watched, and too many");
  assert.deepEqual(await openOf(many(1), [{ ...hazard, state: "attention" }]), [true, true]);
  assert.deepEqual(await openOf(many(1), [{ ...hazard, state: "danger" }]), [true, false]);
});

test("of a kind with nothing to watch nothing is said of that", () =>
  drawn(list([item("D1")]), async (page) => {
    assert.match(page.words, /1 check dam /);
    assert.ok(!page.words.includes("to watch"), page.words);
  }));

test("the chosen item of a kind is in its list, however far down", () => {
  const works = Array.from({ length: 101 }, (_, i) => item(`D${i + 1}`));
  const large = (selected: string | null) => h(WorkList, { land: { ...land(works), count: 1501 }, works, selected, act: () => undefined });
  return drawn(large("D101"), async (page) => {
    const names = () => page.presses.flatMap((p) => /D\d+/.exec(p) ?? []);
    assert.deepEqual([names().length, names()[100]], [101, "D101"]);
    assert.deepEqual(
      page.find("[aria-pressed=true]").map((b) => b.id),
      ["item-D101"],
    );
    await page.draw(large(null));
    assert.deepEqual([names().length, names()[99]], [100, "D100"]);
  });
});

test("of a long list the first rows are shown, the chosen one with them, and more at a press", async () => {
  const Rows = ({ n, chosen }: { n: number; chosen?: number }) => {
    const { rows, more } = useRows(
      Array.from({ length: n }, (_, i) => i + 1),
      3,
      chosen === undefined ? undefined : (row: number) => row === chosen,
    );
    return h("div", null, `${rows.join()}. `, more);
  };
  const rows = (page: { words: string }) => page.words.split(".")[0];
  await drawn(h(Rows, { n: 20, chosen: 9 }), async (page) => {
    assert.equal(rows(page), "1,2,3,9");
    await page.press("Show 3 more of 17");
    assert.equal(rows(page), "1,2,3,4,5,6,9");
    await page.press("Show 6 more of 14");
    assert.equal(rows(page), "1,2,3,4,5,6,7,8,9,10,11,12");
    await page.press("Show 8 more");
    assert.equal(rows(page)!.split(",").length, 20);
    assert.deepEqual(page.presses, []);
  });
  await drawn(h(Rows, { n: 3, chosen: 9 }), async (page) => assert.equal(page.words, "1,2,3."));
  await drawn(h(Rows, { n: 4, chosen: 2 }), async (page) => {
    assert.equal(rows(page), "1,2,3");
    await page.press("Show 1 more");
  });
  await drawn(h(Rows, { n: 4 }), async (page) => assert.equal(rows(page), "1,2,3"));
});

test("the key counts what there is by kind and stage, and takes it off the map", async () => {
  const acts: Action[] = [];
  const state = { ...startWith(null), hiddenKinds: ["check-dam"], hiddenStatuses: ["pegged"] as const };
  const all = land(
    [item("D1"), item("D2", { status: "pegged" }), item("D3", { state: "attention" })],
    [
      { ...unworked, id: "H1", kind: "hazard", state: "attention" },
      { ...unworked, id: "H2", kind: "hazard" },
    ],
  );
  await drawn(h(Legend, { land: all, state, act: (a: Action) => void acts.push(a) }), async (page) => {
    await page.reads("Check dams 3", "Built 2", "Pegged 1", "Also on the map Needs attention 2 Hazards 2");
    assert.ok(!page.words.includes("Gates") && !page.words.includes("Proposed"), page.words);
    const boxes = page.find("input") as HTMLInputElement[];
    assert.deepEqual(
      boxes.map((box) => [box.closest("label")!.textContent!.replace(/\d+$/, ""), box.checked]),
      [
        ["Check dams", false],
        ["Pegged", false],
        ["Built", true],
      ],
    );
    for (const box of boxes) page.enter(box, "on");
    assert.deepEqual(acts, [
      { do: "toggle-kind", kind: "check-dam" },
      { do: "toggle-status", status: "pegged" },
      { do: "toggle-status", status: "built" },
    ]);
  });
  const shownOf = async (of: Land, words: RegExp) =>
    drawn(h(Legend, { land: of, state: startWith(null), act: () => {} }), async (page) => assert.match(page.words, words));
  await shownOf({ ...land([]), kinds: [] }, /^No works have been recorded here yet/);
  await shownOf({ ...land([]), kinds: [kind("gate", "Gate", false)] }, /^No works have been recorded here yet/);
  await shownOf(
    { ...land([], [{ ...unworked, kind: "gate" }]), kinds: [kind("gate", "Gate", false)] },
    /^Map key Also on the map Gates 1$/,
  );
  await shownOf(
    { ...land([item("D1", { state: "attention" })]), kinds: [kind("check-dam", "Check dam", true)] },
    /^Map key Works Check dams 1 Stage Built 1 Also on the map Needs attention 1$/,
  );
  await shownOf({ ...land([item("D1")]), kinds: [kind("check-dam", "Check dam", true)] }, /^Map key Works Check dams 1 Stage Built 1$/);
});

test("the key leaves out what has no position, and says how many that are", async () => {
  const unplaced = { geometry: null, state: "attention" } as const;
  const all = land(
    [item("D1"), item("D2", { ...unplaced, status: "pegged" })],
    [
      { ...unworked, kind: "hazard", ...unplaced },
      { ...unworked, kind: "gate", geometry: null },
      { ...unworked, kind: "gate", geometry: null },
    ],
  );
  await drawn(h(Legend, { land: all, state: startWith(null), act: () => {} }), async (page) =>
    assert.equal(
      page.words,
      "Map key Works Check dams 1 Stage Built 1 Not on the map, as no position was recorded: 1 check dam, 1 hazard, 2 gates.",
    ),
  );
});

test("the printed list has the works with their days, sizes and condition, then what else is to be known", async () => {
  const of = (name: string) => land([]).kinds.find((k) => k.name === name)!;
  const printed = (all: Land) => h(PrintList, { land: all, kind: of });
  const rows = (page: { find(selector: string): Element[] }) =>
    page.find("tbody tr").map((tr) => [...tr.children].map((cell) => cell.textContent!.replace(/\u00a0/g, " ")).join(" | "));
  const fact = (label: string, text: string) => ({ label, text });
  await drawn(printed(land([])), async (page) => assert.deepEqual(page.find("section"), []));
  await drawn(printed(land([], [{ ...unworked, id: "G1", kind: "gate" }])), async (page) => assert.deepEqual(page.find("section"), []));
  const works = [
    item("D1", { builtOn: "2026-05-04", wrong: ["The crest is gone."], seen: "Inspected in May.", plain: ["It holds."] }),
    item("D2", { status: "pegged", statusOn: "2026-05-03", facts: [fact("Length", "4 m"), fact("Slope", "2 %"), fact("Height", "0.4 m")] }),
    item("D3", { status: "failed", statusOn: "2026-05-02" }),
    item("D4", { status: "pegged" }),
    item("D5", { statusOn: "2026-05-02" }),
  ];
  const others = [
    { ...unworked, id: "H1", name: "H1", kind: "hazard", plain: ["Keep back."], seen: "Never inspected." },
    { ...unworked, id: "H2", name: "H2", kind: "hazard", state: "danger" as const },
    { ...unworked, id: "H3", name: "H3", kind: "hazard", seen: "Seen." },
    { ...unworked, id: "H4", name: "H4", kind: "hazard", facts: [fact("Area", "2 ha")] },
    { ...unworked, id: "G1", name: "G1", kind: "gate" },
  ];
  await drawn(printed(land(works, others)), async (page) => {
    assert.equal(page.find("h2")[0]!.textContent, "List of works, gully heads and hazards");
    assert.deepEqual(rows(page), [
      "D1 | Check dam | Built | 4 May 2026 |  | The crest is gone. Inspected in May.",
      "D2 | Check dam | Pegged 3 May 2026 |  | Length 4 m; Height 0.4 m | ",
      "D3 | Check dam | Failed |  |  | ",
      "D4 | Check dam | Pegged |  |  | ",
      "D5 | Check dam | Built |  |  | ",
      "H1 | Hazard |  |  |  | Keep back. Never inspected.",
      "H2 | Hazard |  |  |  | ",
      "H3 | Hazard |  |  |  | Seen.",
      "H4 | Hazard |  |  | Area 2 ha | ",
    ]);
  });
  const many = (n: number) => land(Array.from({ length: n }, (_, i) => item(`D${i}`)));
  for (const [n, words] of [
    [3, ""],
    [5000, ""],
    [5001, "The first 5 000 of 5 001: the files for map apps have all of them."],
  ] as const)
    await drawn(printed(many(n)), async (page) =>
      assert.equal(
        page
          .find(".printlist p")
          .map((p) => p.textContent!.replace(/\s/g, " "))
          .join(),
        words,
      ),
    );
  await drawn(printed(many(500)), async (page) => {
    assert.equal(page.find("h2")[0]!.textContent, "List of works");
    assert.equal(rows(page).length, 500);
  });
  await drawn(printed(many(501)), async (page) => {
    assert.equal(rows(page).length, 0, "not before it is printed");
    page.window.dispatchEvent(new page.window.Event("beforeprint"));
    await page.rest();
    assert.equal(rows(page).length, 501);
    page.window.dispatchEvent(new page.window.Event("afterprint"));
    await page.rest();
    assert.equal(rows(page).length, 0);
  });
});

test("the mark of what needs attention is drawn over its symbol, in the list and over the panel", async () => {
  const drawnIn = async (part: Parameters<typeof drawn>[0]) => {
    let strokes = 0;
    await drawn(part, async (page) => {
      strokes = page.find("svg.symbol path").length;
    });
    return strokes;
  };
  const panel = (one: Item) =>
    h(ItemPanel, { item: one, kind: kind("check-dam", "Check dam", true), link: "/l/x", takeFocus: false, close: () => undefined });
  for (const of of [panel, (one: Item) => list([one])])
    assert.ok((await drawnIn(of(item("D1", { state: "attention" })))) > (await drawnIn(of(item("D1")))));
});
