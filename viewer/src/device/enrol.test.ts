// The first meeting: a code from the office, what is asked with it, and what is said when it fails.

import assert from "node:assert/strict";
import test from "node:test";
import { boot } from "../field/shell/boot.tsx";
import { withGlobals } from "../base/globals.test.ts";
import { boot as bootDesk } from "../desk/shell/boot.tsx";
import { property, self } from "../storage/phone.test.ts";
import { onPage, type Page } from "./page.test.ts";

interface Asked {
  readonly code: string;
  readonly device: string;
  readonly token: string;
  readonly author: string;
}

/** A server that answers what the page asks it. */
interface Answer {
  status?: number;
  body: object;
}

const answering = (page: Page, answer: (asked: Asked) => Answer | undefined): Asked[] => {
  const asked: Asked[] = [];
  page.fetch = async (address, init) => {
    if (address !== "/enrol") return new Response(null, { status: 404 });
    const asking = JSON.parse(String(init?.body)) as Asked;
    asked.push(asking);
    const answered = answer(asking);
    if (!answered) throw new TypeError("no signal");
    return new Response(JSON.stringify(answered.body), { status: answered.status ?? 200 });
  };
  return asked;
};
const granted = ({ device, token }: Asked, ...properties: readonly object[]) => ({
  body: { device, token, author: "R. Field", properties: properties.length ? properties : [{ id: property, name: "Stony Block" }] },
});

test("a code makes the phone known, and leads to its property", () =>
  onPage(boot, { self: null }, async (page) => {
    await page.reads("Enrol", "The office gives you a code. It works once, on one phone.");
    await page.reads("If this phone recorded anything under another address, it is still there");
    assert.ok(!page.words.includes("Is this the right address?"), "no other is known");
    const asked = answering(page, (a) => granted(a));
    await page.press("Enrol this phone");
    await page.reads("Type the code from the office");
    assert.deepEqual(asked, []);
    await page.type("Code", " abcde-12345 ");
    assert.equal(page.wrongWith("Code"), "");
    await page.press("Enrol this phone");
    await page.shows(() => page.address === "#/load", "the loading of the property");
    assert.equal(asked.length as number, 1);
    const [first] = asked as unknown as [Asked];
    assert.equal(first.code, "ABCDE-12345");
    assert.ok(first.token.length > 20 && first.device.length > 0);
    const me = page.phone.store.self()!;
    assert.deepEqual([me.author, me.device, me.token, me.properties.map((p) => p.id)], ["R. Field", first.device, first.token, [property]]);
    await page.reads("No signal: the property is not all on this phone yet");
    await page.press("Start without it");
    await page.reads("Nothing recorded today yet");
  }));

test("with several properties it is chosen where to start", () =>
  onPage(boot, { self: null, address: "#/enrol/abcde-12345" }, async (page) => {
    answering(page, (a) => granted(a, { id: property, name: "Stony Block" }, { id: "lower", name: "Lower Flat" }));
    await page.reads("The code from the office is filled in.");
    assert.equal(page.typed("Code"), "ABCDE-12345");
    await page.press("Enrol this phone");
    await page.reads("Not all on this phone yet", "Start on", "Lower Flat");
    assert.equal(page.address, "#/start");
    await page.press(page.presses.find((p) => p.startsWith("Lower Flat"))!);
    await page.shows(() => page.heading === "Lower Flat", "the property chosen");
  }));

test("a server that does not answer, refuses or answers nonsense changes nothing, and it is said", () =>
  onPage(boot, { self: null }, async (page) => {
    let answer: Answer | undefined;
    const asked = answering(page, () => answer);
    const fails = async (...words: readonly string[]) => {
      await page.press("Enrol this phone");
      await page.reads(...words);
      assert.equal(page.phone.store.self(), null);
    };
    await page.type("Code", "abcde-12345");
    await fails("The server does not answer.", "Enrol where there is signal.");
    answer = { status: 403, body: { reason: "this code was used", fix: "ask the office for another" } };
    await fails("This code was used.", "Ask the office for another.");
    answer = { status: 500, body: {} };
    await fails("The server answered 500.", "Try again in a minute.");
    const [first] = asked as [Asked];
    const right = { device: first.device, token: first.token, author: "R. Field", properties: [{ id: property }] };
    assert.equal(asked[2]!.token, right.token, "the same is asked again");
    for (const wrong of [
      { ...right, device: "other" },
      { ...right, token: "other" },
      { ...right, properties: [] },
      { ...right, properties: undefined },
    ]) {
      answer = { body: wrong };
      await fails("The server's answer cannot be read.");
    }
    await page.type("Code", "fghjk-12345");
    assert.ok(!page.words.includes("cannot be read"), "what was said of another code is gone");
  }));

test("a phone that is enrolled adds a property by a code, under its own number", () =>
  onPage(boot, { address: "#/enrol" }, async (page) => {
    const asked = answering(page, (a) => granted(a, { id: "lower", name: "Lower Flat" }));
    await page.reads("Add a property", "Its properties are added to those on this phone: nothing here is hidden or lost.");
    assert.equal(page.leads("Back to today"), "#/");
    await page.type("Code", "abcde-12345");
    const before = page.window.history.length;
    await page.press("Add the property");
    await page.shows(() => page.address === "#/load" && page.heading === "Lower Flat", "the new one");
    assert.equal(page.window.history.length, before, "the way back does not lead to a spent code");
    assert.equal(asked[0]!.device, "d1");
    assert.deepEqual(
      page.phone.store
        .self()!
        .properties.map((p) => p.id)
        .sort(),
      ["lower", property],
    );
  }));

test("nobody enrols at an address that is not secure", () =>
  onPage(boot, { self: null, insecure: true }, async (page) => {
    await page.reads("Cannot enrol here", "This address is not secure, so the browser keeps nothing safely here.");
    assert.deepEqual(page.inputs, []);
  }));

test("other addresses of the server are named to a phone that has nothing here", () =>
  onPage(
    boot,
    {
      self: null,
      fetch: async () => Response.json({ address: "https://new.invalid", earlier: ["https://old.invalid", "https://headcut.invalid"] }),
    },
    async (page) => {
      await page.reads("There is no data here. Is this the right address?");
      assert.equal(page.leads("Open new.invalid"), "https://new.invalid/field/");
      assert.equal(page.leads("Open old.invalid"), "https://old.invalid/field/");
      assert.ok(!page.presses.includes("Open headcut.invalid"));
    },
  ));

test("who came by the office's link is told of another address, and not asked whether it is the right one", () =>
  onPage(
    boot,
    { self: null, address: "#/enrol/abcde-12345", fetch: async () => Response.json({ earlier: ["https://old.invalid"] }) },
    async (page) => {
      await page.reads("Open old.invalid", "If this phone recorded anything under another address, it is still there");
      assert.ok(!page.words.includes("Is this the right address?"), page.words);
    },
  ));

test("a property is begun with no signal, under a name, and chosen again from the list", () =>
  onPage(boot, { address: "#/property" }, async (page) => {
    await page.reads("Properties", "nothing waits to be sent", "nothing recorded on this phone yet");
    assert.ok(page.isPressed(page.presses.find((p) => p.startsWith("Stony Block"))!));
    await page.press("Begin a property here");
    await page.press("Begin");
    await page.shows(() => page.told.length > 0, "that it needs a name");
    assert.equal(page.phone.store.self()!.properties.length, 1);
    await page.type("Name of the property", "Top Paddock");
    await page.press("Begin");
    await page.reads("Top Paddock begun");
    assert.equal(page.heading, "Top Paddock");
    await page.go("#/property", "Properties");
    await page.reads("begun on this phone, not accepted by the office yet");
    await page.press(page.presses.find((p) => p.startsWith("Stony Block"))!);
    await page.shows(() => page.heading === "Stony Block", "the other");
    assert.equal(page.address, "#/load");
  }));

test("the list of properties tells what of each is not sent, and which were joined or barred", () =>
  onPage(
    boot,
    {
      self: self("d1", { id: "lower", name: "Lower Flat", barred: true }),
      features: { a: { kind: "peg", name: "P1", observedOn: "2026-03-01" } },
      address: "#/property",
    },
    async (page) => {
      await page.reads("Stony Block 1 entry not sent yet last recorded 09:00");
      await page.phone.store.capture("lower", [
        { set: { kind: "peg", observedOn: "2026-03-01" } },
        { set: { kind: "peg", observedOn: "2026-03-01" } },
      ]);
      await page.reads("2 entries not sent yet");
    },
  ));

const cannotScan = "This browser cannot scan codes. Type the code, or scan it with the phone's own camera";

test("the code is scanned where the browser can, and typed where it cannot", async () => {
  class BarcodeDetector {
    static getSupportedFormats = async () => ["qr_code"];
    detect = async () => [{ rawValue: "https://office.invalid/field/#/enrol/fghjk-12345" }];
  }
  await withGlobals({ BarcodeDetector }, () =>
    onPage(boot, { self: null, before: async (page) => page.withCamera() }, async (page) => {
      await page.shows(() => page.presses.includes("Scan the code"), "that it can be scanned");
      assert.ok(!page.words.includes(cannotScan), page.words);
      await page.type("Code", "abcde");
      await page.press("Enrol this phone");
      await page.reads("The server does not answer.");
      await page.press("Scan the code");
      await page.shows(() => page.inputs.includes("Code"), "the form with the code");
      assert.equal(page.typed("Code"), "FGHJK-12345");
      assert.ok(!page.words.includes("The server does not answer."), "what was said of another code");
    }),
  );
  await onPage(boot, { self: null }, async (page) => {
    await page.reads(cannotScan);
    assert.ok(!page.presses.includes("Scan the code"));
  });
  await onPage(boot, { self: null, address: "#/enrol/abcde-12345" }, async (page) => {
    await page.reads("The code from the office is filled in.");
    assert.ok(!page.words.includes(cannotScan), page.words);
    await page.type("Code", "abcde-99999");
    await page.reads(cannotScan, "The office gives you a code.");
  });
  await onPage(bootDesk, { self: null }, async (page) => {
    await page.reads("The office gives you a code.");
    await page.rest();
  });
});

test("a phone that the server refuses for a further property asks as a new one; what is wrong with the code is told", async () => {
  for (const path of ["token", "device"])
    await onPage(boot, { address: "#/enrol" }, async (page) => {
      const asked = answering(page, (a) =>
        a.device === "d1"
          ? { status: 403, body: { path, reason: "the device was revoked" } }
          : granted(a, { id: "lower", name: "Lower Flat" }),
      );
      await page.type("Code", "abcde-12345");
      await page.press("Add the property");
      await page.shows(() => page.address === "#/load" && page.heading === "Lower Flat", "the new one");
      assert.equal(asked.length, 2);
      assert.notEqual(page.phone.store.self()!.device, "d1");
    });
  await onPage(boot, { address: "#/enrol" }, async (page) => {
    const asked = answering(page, () => ({ status: 403, body: { path: "code", reason: "this code was used" } }));
    await page.type("Code", "abcde-12345");
    await page.press("Add the property");
    await page.reads("This code was used.");
    assert.deepEqual([asked.length, page.phone.store.self()!.device], [1, "d1"]);
  });
});

test("an enrolment that was broken off goes on with its code, unless another is wanted", async () => {
  const before = async ({ phone }: Page) => void (await phone.store.asking("ABCDE-12345", false));
  const begun = "Enrolling with this code was not finished.";
  await onPage(boot, { self: null, before }, async (page) => {
    await page.reads(begun, "the code still works on this phone.");
    assert.equal(page.typed("Code"), "ABCDE-12345");
    await page.type("Code", "fghjk-12345");
    await page.reads("The office gives you a code.");
    assert.ok(!page.words.includes(begun), page.words);
  });
  await onPage(boot, { self: null, before, address: "#/enrol/fghjk-12345" }, async (page) => {
    await page.reads("The code from the office is filled in.");
    assert.equal(page.typed("Code"), "FGHJK-12345");
    assert.ok(!page.words.includes(begun), page.words);
  });
});

test("while the server is asked it is asked once, and what it said before is gone", () =>
  onPage(boot, { self: null }, async (page) => {
    page.clock.meanwhile = (work) => work; // the answer takes time
    let asked = 0;
    let refuse: () => void = () => {};
    page.fetch = async () => {
      asked++;
      await new Promise<void>((go) => (refuse = go));
      return Response.json({ reason: `refused ${asked}` }, { status: 403 });
    };
    const enter = async () => {
      page.find("input")[0]!.dispatchEvent(new page.window.KeyboardEvent("keydown", { key: "Enter", bubbles: true }) as unknown as Event);
      await page.rest();
    };
    asked = 0;
    await page.type("Code", "abcde-12345");
    for (const times of [1, 2]) {
      await enter();
      await page.shows(() => asked === times, "it is asked");
      await page.reads("Asking the server…");
      assert.ok(page.isDisabled("Asking the server…") && !page.words.includes("Refused"), page.words);
      await enter();
      assert.equal(asked, times);
      refuse();
      await page.reads(`Refused ${times}`);
    }
  }));

test("a phone that lost what was on it, with no copy, says so where it enrols again, and looks for no other address", async () => {
  const gone = "The entries of this phone are no longer in the browser";
  for (const address of ["#/", "#/enrol/abcde-12345"])
    await onPage(
      boot,
      {
        address,
        features: { a: { kind: "peg", name: "P1", observedOn: "2026-03-01" } },
        before: async ({ phone, clock }) => {
          await clock.pass(60_000);
          phone.loseDatabase();
          phone.caches.all.delete("headcut-spare/headcut");
          await phone.open();
        },
        fetch: async () => Response.json({ earlier: ["https://old.invalid"] }),
      },
      async (page) => {
        await page.reads(gone, "Enrol this phone with a new code");
        await page.clock.pass(1000);
        assert.ok(!page.presses.includes("Open old.invalid") && !page.words.includes("another address"), page.words);
        page.fetch = async () => {
          throw new TypeError("no signal");
        };
        await page.type("Code", "abcde-12345");
        await page.press("Enrol this phone");
        await page.reads("The server does not answer.");
        assert.ok(!page.words.includes(gone), "one thing at a time");
      },
    );
});
