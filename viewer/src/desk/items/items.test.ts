// The desk page: the properties, the table of items, and the panel of the one that is chosen.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage } from "../../device/page.test.ts";
import { entryOf, property, self } from "../../storage/phone.test.ts";
import { Server } from "../../sync/server.test.ts";
import { boot } from "../shell/boot.tsx";

const at = (lon: number) => ({ type: "Point", coordinates: [lon, -20.25] });
const features = {
  a: { kind: "check-dam", name: "D1", status: "built", observedOn: "2026-03-01", geometry: at(146.5) },
  b: { kind: "peg", name: "P7", observedOn: "2026-03-02" },
  v: { kind: "visit", of: "a", observedOn: "2026-04-02", condition: "sound", notes: "Two stones out" },
};

test("the properties are listed by name with their items; one that was merged is not", () =>
  onPage(
    boot,
    {
      features,
      self: self(
        "d1",
        { id: "lower", name: "Lower Flat" },
        { id: "old", name: "Old Block", into: property },
        { id: "z", name: "Zig", barred: true },
      ),
    },
    async (page) => {
      await page.shows(() => page.lines("3 properties").some((l) => /^Stony Block 2 /.test(l)), "its two items");
      const lines = page.lines("3 properties");
      assert.match(lines[0]!, /^Lower Flat 0 Nothing recorded yet/);
      assert.match(lines[1]!, /^Stony Block 2 .*R\. Field$/);
      assert.match(lines[2]!, /^Zig 0 Nothing recorded yet/);
      assert.equal(page.leads("Lower Flat"), "#/property/lower");
    },
  ));

test("the items are searched, chosen by kind, ordered, and opened", () =>
  onPage(boot, { features, address: `#/property/${property}` }, async (page) => {
    await page.reads("2 items", "R. Field");
    const table = "Items of Stony Block";
    assert.equal(page.lines(table).length, 2, "a visit is no item");
    await page.type("Search by name, kind or notes", "p7");
    await page.reads("1 of 2 items");
    assert.match(page.lines(table).join(), /^Peg P7 /);
    await page.type("Search by name, kind or notes", "");
    await page.type("Kind", "check-dam");
    await page.reads("1 of 2 items");
    assert.match(page.lines(table).join(), /^Check dam D1 Built, sound /);
    await page.type("Kind", "");
    await page.press("D1, Check dam");
    await page.reads("Last change", "by R. Field", "Sound on 2 April 2026", "Visits 2 April 2026: sound Two stones out");
    assert.ok(!page.words.includes("No position recorded."), page.words);
    assert.equal(page.facts["Status"], "built");
    await page.press("P7, Peg");
    await page.reads("No position recorded.");
    await page.press("Close");
    await page.shows(() => !page.presses.includes("Close"), "the panel gone");
  }));

const [first, second] = ["1".repeat(64), "2".repeat(64)];

test("an item shows its photos and its visits', small, and each opens large, with the way to the others", () => {
  const asked: string[] = [];
  return onPage(
    boot,
    {
      features: { ...features, a: { ...features.a, photos: [first] }, v: { ...features.v, photos: [second], bearingDeg: 91.4 } },
      address: `#/property/${property}/a`,
      before: async (page) => {
        page.fetch = async (address) => {
          asked.push(address);
          if (!address.startsWith("/photos/")) throw new TypeError("no signal");
          return new Response(new Uint8Array([1]), { status: address === `/photos/${first}` ? 404 : 200 });
        };
      },
    },
    async (page) => {
      await page.reads("Visits 2 April 2026: sound Two stones out 2 April 2026, looking east Other photos 1 March 2026");
      await page.shows(() => page.find(".album img").length === 2, "the photos");
      assert.equal(page.find(".visits .album img").length, 1, "of the visit");
      const album = page.find(".album a").map((a) => a.getAttribute("href"));
      assert.deepEqual(
        album,
        [second, first].map((sha) => `#/property/${property}/a/${sha}`),
      );
      assert.deepEqual(
        asked.filter((a) => a.startsWith("/photos/") && !a.endsWith("?small=1")),
        [],
      );
      await page.go(album[0]!);
      await page.reads("2 April 2026, looking east (91°). 1 of 2");
      await page.shows(() => asked.includes(`/photos/${second}`) && page.find("dialog img").length === 1, "the whole photo");
      assert.ok(page.isDisabled("Later") && !page.words.includes("Only the small version"));
      await page.press("Earlier");
      await page.reads("1 March 2026. 2 of 2", "Only the small version is on this phone");
      assert.equal(page.address, album[1]!);
      assert.ok(page.isDisabled("Earlier"));
      const key = async (name: string, at: number) => {
        page.find("dialog")[0]!.dispatchEvent(new page.window.KeyboardEvent("keydown", { key: name }) as unknown as Event);
        await page.rest();
        assert.equal(page.address, album[at]!, name);
      };
      await key("ArrowRight", 1);
      await key("ArrowLeft", 0);
      await key("ArrowLeft", 0);
      await key("x", 0);
      await key("ArrowRight", 1);
      await page.press("Later");
      assert.equal(page.address, album[0]!);
      const dialog = page.find("dialog")[0]!;
      assert.ok((dialog as HTMLDialogElement).open);
      dialog.dispatchEvent(new page.window.KeyboardEvent("keydown", { key: "Escape", bubbles: true }) as unknown as Event);
      await page.rest();
      assert.equal(page.address, album[0]!, "the item stays");
      dialog.dispatchEvent(new page.window.Event("cancel", { cancelable: true }) as unknown as Event);
      await page.shows(() => page.find("dialog").length === 0, "the item, after the key that leaves a photo");
      await page.go(album[1]!);
      (page.find("dialog button").find((b) => b.textContent === "Close") as HTMLElement).click();
      await page.shows(() => page.find("dialog").length === 0, "the item");
      assert.equal(page.address, `#/property/${property}/a`);
      assert.equal(page.window.document.activeElement?.getAttribute("href"), album[1], "the focus is back on the photo");
      await page.go(`#/property/${property}/a/${"3".repeat(64)}`);
      await page.reads("This photo is not on this computer.");
    },
  );
});

test("a level run is listed, and shows its rows as booked and reduced, with the checks", () => {
  const rows = [
    { point: "BM1", bs: 1.5, knownLevelM: 100, distanceM: 0 },
    { point: "CP1", fs: 1.2, bs: 2, remark: "on a rock" },
    { point: "2", is: 1, struck: true },
    { point: "BM1", fs: 2.305, knownLevelM: 100 },
  ];
  // What the computation answers to these rows; the browser's test has it calculated.
  const output = {
    rows: [
      { point: "BM1", setup: 0, levelM: 100, instrumentLevelM: 101.5 },
      { point: "CP1", setup: 0, levelM: 100.3, riseM: 0.3, instrumentLevelM: 102.3, adjustedLevelM: 100.3015 },
      { point: "2" },
      { point: "BM1", setup: 1, levelM: 99.995, fallM: 0.305, adjustedLevelM: 100 },
    ],
    sums: { bs: 3.5, fs: 3.505, rise: 0.3, fall: 0.305 },
    arithmeticOK: true,
    misclosureM: -0.005,
    allowableM: 0.0071,
    closed: true,
    closures: [{ closed: true }],
    reasons: [],
    cautions: [],
  };
  return onPage(
    boot,
    {
      features: { ...features, r: { kind: "level-run", name: "Run 1", observedOn: "2026-03-01", rows } },
      answers: { "level-run": () => output },
      address: `#/property/${property}`,
    },
    async (page) => {
      await page.reads("3 items");
      await page.press("Run 1, Level run");
      await page.reads("Level book", "Misclosure 5.0 mm low; 7.1 mm allowed.", "3.500 − 3.505 = -0.005");
      const cells = page.find(".booked tr").map((row) => [...row.children].map((c) => c.textContent));
      assert.deepEqual(cells, [
        ["Row", "Point", "BS", "IS", "FS", "Rise", "Fall", "Level"],
        ["1", "BM1known level 100.000, 0 m along the route", "1.500", "", "", "", "", "100.000"],
        ["2", "CP1on a rock", "2.000", "", "1.200", "0.300", "", "100.302100.300 as read"],
        ["3", "2struck out", "", "1.000", "", "", "", ""],
        ["4", "BM1known level 100.000", "", "", "2.305", "", "0.305", "100.00099.995 as read"],
      ]);
      assert.equal(page.find(".booked .struck").length, 1);
    },
  );
});

test("a property that is not on this computer is said not to be", () =>
  onPage(boot, { address: "#/property/other" }, async (page) => {
    await page.reads("Not on this computer", "Ask the office for a code with it.");
  }));

test("the table is ordered by each of its columns, both ways", () =>
  onPage(boot, { features, address: `#/property/${property}` }, async (page) => {
    const table = "Items of Stony Block";
    await page.reads("2 items");
    const sorted = () => page.find("th[aria-sort]").map((th) => `${th.textContent} ${th.getAttribute("aria-sort")}`);
    const first = () => page.lines(table)[0]!;
    const columns = page.find("thead th button").map((b) => b.textContent!.replace(/[^\w ]/g, "").trim());
    assert.ok(columns.length > 3, columns.join());
    const orders = new Set<string>();
    for (const column of columns)
      for (let i = 0; i < 2; i++) {
        await page.press(column);
        assert.equal(sorted().length, 1);
        assert.ok(sorted()[0]!.startsWith(column), column);
        orders.add(`${sorted()[0]} ${first()}`);
      }
    assert.equal(orders.size, 2 * columns.length, "each press turns the order");
    assert.ok([...orders].some((o) => o.includes(" D1 ")) && [...orders].some((o) => o.includes(" P7 ")));
  }));

test("a code adds a property to the desk, and opens it", () =>
  onPage(boot, { address: "#/enrol" }, async (page) => {
    page.fetch = async (_, init) => {
      const { device, token } = JSON.parse(String(init?.body ?? "{}")) as { device: string; token: string };
      return Response.json({ device, token, author: "R. Field", properties: [{ id: "lower", name: "Lower Flat" }] });
    };
    await page.type("Code", "abcde-12345");
    const before = page.window.history.length;
    await page.press("Add the property");
    await page.shows(() => page.address === "#/property/lower", "the new one");
    await page.reads("Lower Flat", "Nothing recorded yet");
    assert.equal(page.window.history.length, before, "the way back does not lead to a spent code");
  }));

test("the keys go from row to row of the table, and Escape leaves the item", () => {
  const many = Object.fromEntries(
    Array.from({ length: 13 }, (_, i) => [`p${i}`, { kind: "peg", name: `P${String(i + 1).padStart(2, "0")}`, observedOn: "2026-03-02" }]),
  );
  return onPage(boot, { features: many, address: `#/property/${property}` }, async (page) => {
    await page.reads("13 items");
    await page.press("Name");
    const opens = () => page.find("tbody .open") as HTMLElement[];
    const names = () => opens().map((b) => b.textContent);
    if (names()[0] !== "P01") await page.press("Name");
    assert.equal(names()[12], "P13");
    const at = () => page.window.document.activeElement?.textContent;
    const stops = () => opens().flatMap((b) => (b.tabIndex === 0 ? [b.textContent] : []));
    assert.deepEqual(stops(), ["P01"]);
    opens()[0]!.focus();
    const key = async (name: string) => {
      const event = new page.window.KeyboardEvent("keydown", { key: name, bubbles: true, cancelable: true });
      page.window.document.activeElement!.dispatchEvent(event);
      await page.rest();
      return event.defaultPrevented;
    };
    for (const [name, want] of [
      ["ArrowDown", "P02"],
      ["PageDown", "P12"],
      ["PageDown", "P13"],
      ["ArrowDown", "P13"],
      ["ArrowUp", "P12"],
      ["PageUp", "P02"],
      ["PageUp", "P01"],
      ["End", "P13"],
      ["Home", "P01"],
    ] as const) {
      assert.equal(await key(name), true);
      assert.deepEqual([at(), stops()], [want, [want]], name);
    }
    assert.equal(await key("x"), false);
    assert.equal(at(), "P01");
    await page.press("P05, Peg");
    await page.shows(() => page.presses.includes("Close"), "the panel");
    assert.deepEqual(
      [stops(), page.find(".open[aria-current]").map((b) => b.textContent), page.find("tr.chosen").length],
      [["P05"], ["P05"], 1],
    );
    await key("Enter");
    assert.ok(page.presses.includes("Close"));
    await key("Escape");
    await page.shows(() => !page.presses.includes("Close"), "the panel gone");
    assert.equal(page.address, `#/property/${property}`);
    assert.deepEqual([at(), page.find("tr.chosen").length], ["P05", 0]);
  });
});

test("of a long table so many rows are drawn at once, and that of the chosen item", () => {
  const peg = (i: number) => ({ kind: "peg", name: `P${String(i + 1).padStart(3, "0")}`, observedOn: "2026-03-02" });
  const many = Object.fromEntries(Array.from({ length: 603 }, (_, i) => [`p${i}`, peg(i)]));
  return onPage(
    boot,
    { features: { ...many, n: { kind: "peg", observedOn: "2026-03-02" } }, address: `#/property/${property}` },
    async (page) => {
      await page.reads("604 items");
      const rows = () => page.find("tbody tr").length;
      assert.equal(rows(), 300);
      await page.press("Show 300 more of 604");
      assert.equal(rows(), 600);
      await page.press("Show 4 more of 604");
      assert.equal(rows(), 604);
      assert.ok(!page.presses.some((p) => /^Show \d/.test(p)));
      assert.ok(page.presses.includes("unnamed, Peg"), "an item without a name is called so");
      await page.press("unnamed, Peg");
      await page.reads("unnamed");
    },
  );
});

test("what others record while the page is open is marked as new for a minute", () => {
  const server = new Server();
  const others = server.of(property);
  others.take(entryOf("p1", { kind: "peg", name: "P1", observedOn: "2026-03-02" }));
  return onPage(boot, { server, address: `#/property/${property}` }, async (page) => {
    await page.reads("1 item");
    const fresh = () =>
      page.find("tr.fresh").map((tr) => `${tr.querySelector(".open")!.textContent} ${tr.querySelector(".new")?.textContent.trim()}`);
    await page.clock.pass(2000);
    assert.deepEqual(fresh(), [], "what was there before");
    const comes = async (name: string) => {
      others.take(entryOf(name.toLowerCase(), { kind: "peg", name, observedOn: "2026-03-02" }));
      server.socket.says({ type: "hint", property, n: others.texts.length });
      await page.shows(() => page.presses.includes(`${name}, Peg`), name);
    };
    await comes("P2");
    await page.shows(() => fresh().join() === "P2 new", "P2 as new");
    await page.clock.pass(40_000);
    await comes("P3");
    await page.shows(() => fresh().sort().join() === "P2 new,P3 new", "both as new");
    await page.clock.pass(25_000);
    assert.deepEqual(fresh(), ["P3 new"]);
    await page.clock.pass(40_000);
    assert.deepEqual(fresh(), []);
  });
});

test("of an item nothing is said but what is known of it, and what is missing", () =>
  onPage(
    boot,
    {
      features: { ...features, s: { kind: "check-dam", observedOn: "2026-03-01" } },
      address: `#/property/${property}`,
      before: ({ phone }) => phone.store.capture(property, [{ feature: "b", strike: true }]),
    },
    async (page) => {
      for (const [id, words] of [
        [
          "a",
          "D1 Check dam, built Sound on 2 April 2026 Still to fill in: built on, crest above bed. Date recorded 1 March 2026 Status built Visits 2 April 2026: sound Two stones out Last change 09:00 by R. Field",
        ],
        [
          "b",
          "P7 Peg This is struck out. It is kept, as in a level book, but not shown on maps. Date recorded 2 March 2026 Last change 09:00",
        ],
        [
          "s",
          "Check dam unnamed, not recorded Still to fill in: status, crest above bed. No position recorded. Date recorded 1 March 2026 Last change 09:00 by R. Field",
        ],
      ] as const) {
        await page.go(`#/property/${property}/${id}`);
        await page.reads(words);
      }
      assert.equal(page.find("table .chosen").length, 1);
    },
  ));

test("what came from a file without dates has none, on every screen", () => {
  const server = new Server();
  const undated = { stamp: "0000000000000000", seenAt: "1970-01-01T00:00:00Z" };
  server.of(property).take(entryOf("u", { kind: "gully-head", name: "G1" }, undated));
  server.of(property).take(entryOf("w", { kind: "visit", of: "u", condition: "sound" }, undated));
  return onPage(boot, { server, address: `#/property/${property}` }, async (page) => {
    await page.reads("1 item", "Last entry: no date");
    await page.shows(() => page.lines("Items of Stony Block")[0] === "Gully head G1 Sound no date O. Desk", "no date in the table");
    await page.press("G1, Gully head");
    await page.reads("Sound on a day not known", "Visits a day not known: sound", "Last change: no date by O. Desk");
    await page.go("#/");
    await page.shows(() => /^Stony Block 1 no date O\. Desk$/.test(page.lines("1 property")[0] ?? ""), "no date in the list");
  });
});

test("a peg that is complete has nothing to fill in", () =>
  onPage(
    boot,
    { features: { p: { kind: "peg", name: "P1", observedOn: "2026-03-02", geometry: at(146.5) } }, address: `#/property/${property}/p` },
    (page) => page.reads("P1 Peg Date recorded 2 March 2026 Last change 09:00 by R. Field"),
  ));
