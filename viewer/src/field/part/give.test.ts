// How a file leaves the page, and the way to the page that reads what a broken store still holds.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../../base/globals.test.ts";
import { give } from "./give.ts";
import { askToRescue, isRescue } from "./rescue.ts";

test("a file is shared where the phone shares such files, and else goes into its downloads", async () => {
  const shares = (how: () => Promise<void>, can = true) => ({ canShare: () => can, share: how });
  const fails = (why: Error) => shares(() => Promise.reject(why));
  for (const [name, navigator, want] of [
    ["shared", shares(async () => {}), "shared"],
    ["thought better of", fails(new DOMException("closed", "AbortError")), "cancelled"],
    ["not allowed", fails(new DOMException("not in a tap", "NotAllowedError")), "downloaded"],
    ["broken", fails(new Error("AbortError")), "downloaded"],
    ["not of this kind", shares(() => assert.fail("shared"), false), "downloaded"],
    ["nothing is shared", {}, "downloaded"],
  ] as const) {
    const did: string[] = [];
    const link = {
      href: "",
      download: "",
      click: () => did.push(`${link.download} in the page: ${did.includes("in")}`),
      remove: () => did.push("out"),
    };
    const later: [() => void, number][] = [];
    const globals = {
      navigator,
      document: { createElement: () => link, body: { append: () => did.push("in") } },
      setTimeout: (run: () => void, ms: number) => later.push([run, ms]),
    };
    await withGlobals(globals, async () => assert.equal(await give("day.tar", new Blob(["x"])), want, name));
    assert.deepEqual(did, want === "downloaded" ? ["in", "day.tar in the page: true", "out"] : [], name);
    if (want !== "downloaded") continue;
    assert.equal(await (await fetch(link.href)).text(), "x", "it is there while the browser reads it");
    for (const [run] of later) run();
    await assert.rejects(fetch(link.href));
  }
});

test("a page that is asked to rescue is loaded again, and does so once", () => {
  const location = { hash: "#/book", reload: () => void (location.hash = addresses[addresses.length - 1]!) };
  const addresses: string[] = [];
  const history = { replaceState: (_: null, __: string, address: string) => void addresses.push(address) };
  return withGlobals({ location, history }, async () => {
    assert.equal(isRescue(), false);
    assert.deepEqual(addresses, []);
    askToRescue();
    assert.equal(isRescue(), true);
    location.reload();
    assert.equal(isRescue(), false);
    assert.deepEqual(addresses, ["#/rescue", "#/"]);
  });
});
