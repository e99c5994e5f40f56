// The page's end of the service worker, with a worker that answers as ours does.

import assert from "node:assert/strict";
import test from "node:test";
import { onPage, type Page } from "../device/page.test.ts";
import { boot } from "../field/shell/boot.tsx";
import { newsChannel, type Asked, type Taken, type Which } from "./scope.ts";

class Worker extends EventTarget {
  state = "installing";
  which: Which = { brought: "v1", given: "v1", missing: 0 };
  readonly asked: Asked[] = [];
  postMessage(asked: Asked, [port]: [{ answer: (which: Which) => void }]) {
    this.asked.push(asked);
    port.answer(this.which);
  }
  become(state: string) {
    this.state = state;
    this.dispatchEvent(new Event("statechange"));
  }
}
class Registration extends EventTarget {
  installing: Worker | null = null;
  waiting: Worker | null = null;
  active: Worker | null = null;
  looks = 0;
  update = async () => void this.looks++;
}

const withWorker = (registration: Registration | undefined, registers = true) => ({
  before: async (page: Page) => {
    const serviceWorker = {
      register: async () => {
        if (!registers) throw new Error("no signal");
        return registration;
      },
      getRegistration: async () => registration,
    };
    Object.assign(page.navigator, { serviceWorker });
    class Channel {
      port1: { onmessage: ((event: { data: Which }) => void) | null } = { onmessage: null };
      port2 = { answer: (which: Which) => queueMicrotask(() => this.port1.onmessage?.({ data: which })) };
    }
    Object.assign(globalThis, { MessageChannel: Channel });
  },
  address: "#/status",
});
const channel = globalThis.MessageChannel;
const ending = async (run: Promise<void>) => {
  try {
    await run;
  } finally {
    globalThis.MessageChannel = channel;
  }
};

test("the page is on the phone once its worker has all files, and a newer version waits for a tap", () => {
  const registration = new Registration();
  const first = (registration.installing = new Worker());
  return ending(
    onPage(boot, withWorker(registration), async (page) => {
      await page.reads("This page");
      assert.ok(!page.presses.includes("Update"));
      registration.installing = null;
      registration.waiting = first;
      first.become("installed");
      await page.reads("The page is being saved on this phone.");
      registration.waiting = null;
      registration.active = first;
      first.become("activated");
      await page.rest();
      assert.equal(first.asked[0], "which");
      await page.clock.pass(50 * 60_000);
      await page.press("Check for a newer version");
      await page.reads("Checking for a newer version");
      assert.equal(registration.looks, 1);
      await page.seen(false);
      await page.seen(true);
      assert.equal(registration.looks, 1, "not an hour ago");
      await page.clock.pass(30 * 60_000);
      await page.seen(false);
      await page.seen(true);
      assert.equal(registration.looks, 1, "nor since it was looked for");
      await page.clock.pass(31 * 60_000);
      await page.seen(false);
      assert.equal(registration.looks, 1);
      await page.seen(true);
      assert.equal(registration.looks, 2);

      const second = (registration.installing = new Worker());
      second.which = { brought: "v2", given: "v1", missing: 0 };
      registration.dispatchEvent(new Event("updatefound"));
      await page.rest();
      assert.ok(!page.words.includes("is being saved"), page.words);
      second.become("redundant"); // the signal was too bad for it
      await page.rest();
      assert.ok(!page.words.includes("Not all of the page"), page.words);
      registration.installing = null;
      registration.waiting = second;
      second.become("installed");
      await page.reads("A newer version is on this phone.");
      let opened = 0;
      Object.defineProperty(page.window.location, "reload", { value: () => opened++ });
      await page.press("Update");
      assert.deepEqual([second.asked.slice(-1), opened], [["take over"], 1]);
    }),
  );
});

test("what of the page is missing on the phone is fetched again when it is looked for", () => {
  const registration = new Registration();
  const worker = (registration.active = new Worker());
  worker.which = { ...worker.which, missing: 2 };
  return ending(
    onPage(boot, withWorker(registration), async (page) => {
      await page.reads("The page does not work with no signal. Files of the page are missing on this phone: 2.");
      assert.deepEqual(worker.asked.slice(-3), ["which", "fetch again", "which"]);
      worker.which = { ...worker.which, missing: 0 };
      page.fetch = async () => new Response(null, { status: 504 });
      await page.press("Check again");
      await page.reads("The page does not work with no signal. /field/ is not on this phone.");
      registration.active = null; // the browser has dropped it
      await page.press("Check again");
      await page.reads("The page does not work with no signal. The page is not on this phone yet.");
    }),
  );
});

test("a page goes on as it is when another tab has taken a newer version, and can be opened again", () => {
  const registration = new Registration();
  registration.active = new Worker();
  return ending(
    onPage(boot, withWorker(registration), async (page) => {
      const tab = new BroadcastChannel(newsChannel);
      const takes = async (taken: Taken) => {
        tab.postMessage(taken);
        await page.rest();
        return page.presses.includes("Open again");
      };
      assert.equal(await takes({ given: "v1", before: undefined }), false, "the first version was taken");
      assert.equal(await takes({ given: "v1", before: "v1" }), false, "the same was taken again");
      assert.equal(await takes({ given: "v2", before: "v1" }), true);
      assert.ok(page.words.includes("A newer version was installed in another tab. This page keeps working"), page.words);
    }),
  );
});

test("an update waits while there is something that only this phone has", () => {
  const registration = new Registration();
  registration.active = registration.waiting = new Worker();
  registration.waiting.which = { brought: "v2", given: "v1", missing: 0 };
  return ending(
    onPage(boot, { ...withWorker(registration), features: { a: { kind: "peg", name: "P1", observedOn: "2026-03-01" } } }, async (page) => {
      await page.reads("First send what only this phone has, or save it to a file: 1 entry, 0 photos.");
      assert.ok(page.isDisabled("Update"));
    }),
  );
});

test("why the page is not on the phone is said", async () => {
  await onPage(boot, { address: "#/status" }, (page) => page.reads("This browser cannot open the page without signal."));
  await ending(onPage(boot, withWorker(undefined, false), (page) => page.reads("The page is not on this phone yet.")));
  const earlier = new Registration();
  earlier.active = new Worker();
  earlier.active.which = { ...earlier.active.which, missing: 3 };
  await ending(onPage(boot, withWorker(earlier, false), (page) => page.reads("Files of the page are missing on this phone: 3.")));
  const registration = new Registration();
  const first = (registration.installing = new Worker());
  await ending(
    onPage(boot, withWorker(registration), async (page) => {
      await page.rest();
      first.become("redundant");
      await page.reads("Not all of the page could be fetched.");
    }),
  );
});
