// The landholder's page: asks the server for the land, says what goes wrong, and lists it.

import assert from "node:assert/strict";
import test from "node:test";
import { h } from "preact";
import { drawn, type Page as Drawn } from "../device/page.test.ts";
import { Page } from "./page.tsx";

const kinds = [
  {
    name: "check-dam",
    label: "Check dam",
    plural: "Check dams",
    work: true,
    mark: "",
    colour: "#333333",
    what: "A low wall.",
    care: "Keep stock off it.",
  },
  { name: "hazard", label: "Hazard", plural: "Hazards", work: false, mark: "", colour: "#aa0000", what: "", care: "" },
];
const item = (id: string, more: object = {}) => ({
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
const land = (works: object[], others: object[] = []) => ({
  property: { name: "Stony Block" },
  lastEntry: "2026-05-04",
  inspected: [],
  done: [],
  kinds,
  hazards: [],
  watch: [],
  works,
  others,
  sections: [],
  count: works.length + others.length,
});
const answers = (page: Drawn, ...all: readonly (Response | undefined)[]) => {
  const asked: string[] = [];
  let n = 0;
  page.fetch = async (address) => {
    asked.push(address);
    const answer = all[Math.min(n++, all.length - 1)];
    if (!answer) throw new TypeError("no signal");
    return answer.clone();
  };
  return asked;
};
const page = (came: object | null = null) => h(Page, { link: "/l/x", came: came as never });

test("a land that came with the page is shown at once, and asked for again when the reader says so", () =>
  drawn(page(land([item("D1")])), async (page) => {
    assert.equal(page.heading, "Stony Block");
    await page.reads(
      "Last entry 4 May 2026.",
      "1 work on this map.",
      "Tap a work or a hazard on the map",
      "Check dams A low wall. Keep stock off it.",
    );
    assert.equal(page.window.document.title, "Stony Block: works on the land");
    assert.equal(page.leads("Download for map apps (KML)"), "/l/x/works.kml");
    const asked = answers(page, Response.json(land([item("D1"), item("D2", { status: "proposed" })])));
    await page.press("Refresh");
    await page.reads("2 works on this map.");
    assert.deepEqual(asked, ["/l/x/land.json"]);
    answers(page, undefined);
    await page.press("Refresh");
    await page.reads("The map below is from before. Its last entry is of 4 May 2026.");
    await page.shows(() => page.told.length > 0 && page.words.includes("2 works"), "what went wrong, over the land that is known");
    await page.press(page.presses.find((p) => p.includes("D2"))!);
    await page.reads("Chosen: D2");
    assert.equal(page.window.document.activeElement?.id as string, "chosen");
    await page.press(page.presses.find((p) => p.startsWith("Close "))!);
    await page.shows(() => !page.words.includes("Chosen:"), "closed");
    assert.equal(page.window.document.activeElement?.id as string, "item-D2", "and the focus is where it was");
  }));

test("without a land the page says why, each way apart, and asks again", async () => {
  const said = new Set<string>();
  for (const answer of [undefined, 410, 423, 404, 500]) {
    await drawn(h("p", null, "before"), async (part) => {
      const asked = answers(part, answer === undefined ? undefined : new Response(null, { status: answer }));
      await part.draw(page());
      await part.shows(() => !part.words.includes("Loading the map…"), "an answer");
      assert.deepEqual(asked, ["/l/x/land.json"]);
      assert.deepEqual(part.presses, answer === 410 || answer === 404 ? [] : ["Try again"]);
      assert.ok(!part.words.includes("from before"));
      said.add(part.words);
    });
  }
  assert.equal(said.size, 5, [...said].join("\n"));
});

test("what the server sends broken is no land", () =>
  drawn(h("p", null, "before"), async (part) => {
    answers(part, new Response("{"), Response.json({ property: 5 }), Response.json(land([item("D1")])));
    await part.draw(page());
    await part.shows(() => !part.words.includes("Loading the map…"), "that it is broken");
    assert.ok(!part.words.includes("Stony Block"));
  }));

test("a large land comes in blocks, and how much of it has come is told", () =>
  drawn(h("p", null, "before"), async (part) => {
    const { works: _, others: __, sections: ___, hazards: ____, watch: _____, ...index } = land([]);
    const none = { count: 0, names: [] };
    const blocks = {
      works: { count: 2, names: ["w1", "w2"] },
      others: { count: 1, names: ["o1"] },
      sections: none,
      hazards: none,
      watch: none,
    };
    const asked: string[] = [];
    part.fetch = async (address) => {
      asked.push(address);
      if (address === "/l/x/land.json") return Response.json({ ...index, count: 3, blocks });
      if (address === "/l/x/blocks/w1") return Response.json([item("D1")]);
      if (address === "/l/x/blocks/w2") return Response.json([item("D2")]);
      return Response.json([{ ...item("H1"), kind: "hazard", status: undefined }]);
    };
    await part.draw(page());
    await part.reads("2 works on this map.", "H1");
    assert.deepEqual(asked.sort(), ["/l/x/blocks/o1", "/l/x/blocks/w1", "/l/x/blocks/w2", "/l/x/land.json"]);
    await part.press("Refresh");
    await part.reads("2 works on this map.");
    assert.equal(asked.length, 5, "blocks that are here are not asked for again");
  }));

test("a block that has changed meanwhile is looked for in a newer index, and one that fails is told", async () => {
  const { works: _, others: __, sections: ___, hazards: ____, watch: _____, ...index } = land([]);
  const none = { count: 0, names: [] };
  const indexOf = (name: string) => ({
    ...{ ...index, count: 1 },
    blocks: { works: { count: 1, names: [name] }, others: none, sections: none, hazards: none, watch: none },
  });
  /** Opens the page below a server whose indexes name one block after the other. */
  const opened = (
    blockOf: (name: string) => Response | undefined,
    job: (part: Drawn, asked: string[]) => Promise<void>,
    latest = (n: number) => n,
  ) =>
    drawn(h("p", null, "before"), async (part) => {
      const asked: string[] = [];
      let n = 0;
      part.fetch = async (address) => {
        asked.push(address);
        if (address === "/l/x/land.json") return Response.json(indexOf(`w${latest(++n)}`));
        const answer = blockOf(address.slice("/l/x/blocks/".length));
        if (!answer) throw new TypeError("no signal");
        return answer;
      };
      await part.draw(page());
      await job(part, asked);
    });
  await opened(
    (name) => (name === "w3" ? Response.json([item("D3")]) : new Response(null, { status: 404 })),
    async (part, asked) => {
      await part.reads("1 work on this map.", "D3");
      assert.deepEqual(asked.length, 6, asked.join());
    },
  );
  await opened(
    () => new Response(null, { status: 404 }),
    async (part, asked) => {
      await part.reads("Something went wrong at the server or on the way.");
      assert.deepEqual(asked.length, 42, "it does not ask for ever");
    },
  );
  for (const [answer, told] of [
    [() => undefined, "The map could not be loaded. Try again where there is signal."],
    [() => new Response("{"), "Something went wrong at the server or on the way."],
    [() => Response.json({ not: "rows" }), "Something went wrong at the server or on the way."],
    [() => new Response(null, { status: 410 }), "This link has expired or been withdrawn"],
    [() => new Response(null, { status: 500 }), "Something went wrong at the server or on the way."],
  ] as const)
    await opened(answer, async (part, asked) => {
      await part.shows(() => part.told.join().includes(told) || part.words.includes(told), told);
      assert.equal(asked.length, 2);
    });
});

test("of a land whose blocks are still to come, how much has come is told", () =>
  drawn(h("p", null, "before"), async (part) => {
    const { works: _, others: __, sections: ___, hazards: ____, watch: _____, ...index } = land([]);
    const none = { count: 0, names: [] };
    const blocks = {
      works: { count: 8, names: ["w1", "w2", "w3", "w4", "w5", "w6", "w7", "w8"] },
      others: { count: 1, names: ["o1"] },
      sections: none,
      hazards: none,
      watch: none,
    };
    let go: () => void = () => {};
    const later = new Promise<void>((resolve) => (go = resolve));
    part.fetch = async (address) => {
      if (address === "/l/x/land.json") return Response.json({ ...index, count: 9, blocks });
      if (address === "/l/x/blocks/o1") return Response.json([{ ...item("H1"), kind: "hazard", status: undefined }]);
      if (!/w[78]/.test(address)) return Response.json([item(address)]);
      setTimeout(go, 5000);
      await later;
      return Response.json([item(address)]);
    };
    part.clock.meanwhile = (work) => work; // what is on its way takes time
    await part.draw(page());
    await part.reads("Loading…", "of 9 items loaded.");
    const came = Number(/(\d) of 9 items loaded/.exec(part.words)![1]);
    assert.ok(came > 0 && came < 9, part.words);
    assert.equal(part.presses.filter((p) => /\/w\d|H1/.test(p)).length, came, "those that can be chosen");
    await part.reads("8 works on this map.");
    assert.ok(!part.words.includes("items loaded"), part.words);
  }));

test("the map answers to its buttons and to a tap, and gives the printer a picture", async () => {
  const at = (lon: number) => ({ geometry: { type: "Point", coordinates: [lon, -20.25] } });
  await drawn(page(land([item("D1", at(146.5)), item("D2", at(146.51))])), async (page) => {
    await page.reads("Scale bar");
    const bar = () => /Scale bar (\d+.k?m);/.exec(page.words)![1]!.replace(/\s/, " ");
    assert.equal(bar(), "500 m");
    for (const [name, want] of [
      ["Zoom in", "200 m"],
      ["Zoom out", "500 m"],
      ["Zoom out", "1 km"],
      ["Show the whole property", "500 m"],
    ] as const) {
      await page.press(name);
      await page.clock.pass(500);
      assert.equal(bar(), want, name);
    }
    await page.touchMap([-149, 0]);
    await page.reads("Chosen: D1");
    assert.equal(bar(), "500 m", "it is in sight");
    await page.press(page.presses.find((p) => p.includes("D2"))!);
    await page.clock.pass(500);
    assert.equal(bar(), "50 m", "what is chosen from the list is brought close");
    await page.press("Show the whole property");
    await page.clock.pass(500);
    await page.touchMap([0, 0]);
    await page.shows(() => !page.words.includes("Chosen:"), "nothing chosen");
    assert.equal(page.find(".printed canvas").length, 0);
    page.window.dispatchEvent(new page.window.Event("beforeprint"));
    assert.equal(page.find(".printed canvas").length, 1);
    assert.ok(!page.words.includes("Nothing with a place"));
  });
  const placeless = { geometry: null };
  await drawn(page(land([item("D1", placeless)])), (page) => page.reads("Nothing with a place has been recorded here yet."));
  const gate = { ...item("G", at(146.5)), kind: "hazard", status: undefined };
  await drawn(page(land([item("D1", placeless)], [gate])), async (page) => assert.ok(!page.words.includes("Nothing with a place")));
});

test("what is taken off the map by the key is said to be, and comes back", () =>
  drawn(page(land([item("D1")])), async (page) => {
    const [kind] = page.find(".legend input") as [Element];
    page.enter(kind, "on");
    await page.reads("All works are taken off the map.");
    page.enter(kind, "on");
    await page.shows(() => !page.words.includes("All works are taken off the map."), "back");
  }));

test("care is printed for what stands, and no work has no list, no care and no accuracy", async () => {
  await drawn(page(land([item("D1", { status: "pegged" })])), async (page) => {
    assert.ok(!page.words.includes("Keep stock off it."), page.words);
    await page.reads("How accurate this is");
  });
  await drawn(page(land([])), async (page) => {
    assert.ok(!page.words.includes("How accurate this is") && !page.words.includes("Tap a work"), page.words);
    await page.reads("0 works on this map.");
  });
  await drawn(page({ ...land([]), property: { name: "" }, lastEntry: undefined }), async (page) => {
    await page.reads("Property, unnamed");
    for (const word of ["Last entry", "Scale bar", "Long section"]) assert.ok(!page.words.includes(word), page.words);
  });
});

test("care stands before the printed list where there are photos, and after it where there are none", async () => {
  for (const [photos, order] of [
    [[], ["printlist", "care"]],
    [[{ sha: "a", on: "2026-01-05" }], ["care", "printlist"]],
  ] as const)
    await drawn(page(land([item("D1", { photos })])), async (page) =>
      assert.deepEqual(
        page.find(".printlist, .care").map((part) => part.className),
        order,
      ),
    );
});

test("gullies that can be drawn are drawn, and the line of silt is told of where there is one", async () => {
  const section = (more: object = {}) => ({
    ...{ thalweg: "t", name: "G1", lengthM: 40, proven: true, notes: [], dams: [], pairs: [] },
    bed: [
      { chainageM: 0, levelM: 100 },
      { chainageM: 40, levelM: 102 },
    ],
    ...more,
  });
  const dam = { id: "D1", name: "D1", chainageM: 8, toeLevelM: 100.4, crestLevelM: 100.8, basis: "levelled", status: "built" };
  const reads = (sections: object[], job: (page: Drawn) => Promise<void>) => drawn(page({ ...land([item("D1")]), sections }), job);
  const line = "A flat line upstream of a dam's top";
  await reads([section(), section({ thalweg: "u", name: "G2", bed: [] })], async (page) => {
    await page.reads("Long section The gully from the side", "G1");
    assert.ok(!page.words.includes(line) && !page.words.includes("G2"), page.words);
  });
  await reads([section(), section({ thalweg: "u", name: "G2", dams: [dam] })], (page) => page.reads(line, "G2"));
});

test("what a link no longer shows is gone from the page, and the printer is given nothing of it", () =>
  drawn(page(land([item("D1")])), async (page) => {
    answers(page, new Response(null, { status: 410 }));
    await page.press("Refresh");
    await page.reads("This link has expired or been withdrawn");
    assert.ok(!page.words.includes("D1"), page.words);
    const { calls } = page.canvas;
    calls.clear();
    page.window.dispatchEvent(new page.window.Event("beforeprint"));
    assert.equal(calls.size, 0);
  }));
