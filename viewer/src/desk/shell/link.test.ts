import assert from "node:assert/strict";
import test from "node:test";
import type { DeviceState } from "../../device/state.ts";
import { reduce, start } from "../context/state.ts";
import { alertOf, linkOf } from "./link.ts";

const now = new Date(2026, 4, 4, 16, 30);
const lastSent = new Date(2026, 4, 4, 9, 5);
const state = (more: object): DeviceState => ({ ...start("#/"), ...more }) as unknown as DeviceState;
const sync = (of: string, more: object = {}) => state({ sync: { state: of, words: "What it says.", lastSent: null, ...more } });

test("how the desk stands with the server is said in words, with a way to try where that may help", () => {
  const cases: readonly [DeviceState, string, boolean, RegExp][] = [
    [state({ sync: null }), "busy", false, /^Looking for the server\.$/],
    [sync("quiet"), "connected", false, /^Connected: entries show/],
    [sync("refused"), "cut", false, /^Not connected\.$/],
    [sync("no-answer"), "cut", true, /^No answer from the server\.$/],
    [sync("never"), "cut", true, /^No answer from the server\.$/],
    [sync("no-answer", { lastSent }), "cut", true, /^No answer from the server\. Shown as of .*0?9.05.*; what is new comes by itself\.$/],
    [sync("trying", { lastSent }), "busy", false, /^Looking for the server\. Shown as of /],
    [sync("trying"), "busy", false, /^Looking for the server\.$/],
    [sync("sending"), "busy", false, /^What it says\.$/],
    [state({ ...sync("refused"), trouble: { kind: "other-tab" } }), "connected", false, /^Connected in another tab/],
  ];
  for (const [is, kind, retry, words] of cases) {
    const link = linkOf(is, now);
    assert.deepEqual([link.state, link.retry], [kind, retry], String(words));
    assert.match(link.words, words);
  }
});

test("what must be said above everything else is said, the worst first", () => {
  const trouble = (kind: string) => ({ trouble: { kind, message: "The entries are gone.", todo: "Enrol." } });
  const cases: readonly (readonly [is: DeviceState, words: string | undefined, enrols?: boolean])[] = [
    [sync("quiet"), undefined],
    [state({}), undefined],
    [state(trouble("other-tab")), undefined],
    ...["gone", "behind", "not-enrolled"].map((kind) => [state(trouble(kind)), "The entries are gone. Enrol.", true] as const),
    [state(trouble("full")), "The entries are gone. Enrol.", false],
    [state({ cloned: true, ...trouble("full") }), "The entries are gone. Enrol.", false],
    [state({ ...sync("refused"), cloned: true }), "Another device has this computer's number. Enrol this one again.", true],
    [sync("refused"), "What it says.", true],
    [state({ installed: { state: "not-kept", why: "There is no room." } }), "There is no room.", false],
    [state({ installed: { state: "kept", why: "", overtaken: false } }), undefined],
    [
      state({ installed: { state: "kept", why: "", overtaken: true } }),
      "A newer version of this page was installed in another tab. Load this page again to get it.",
      false,
    ],
  ];
  for (const [is, words, enrols] of cases) assert.deepEqual(alertOf(is), words === undefined ? undefined : { words, enrols }, `${words}`);
});

test("what happened of itself is said until another screen opens", () => {
  const said = reduce(start("#/"), { do: "say", words: "It is part of Stony Block now" });
  assert.deepEqual([said.said, said.address], ["It is part of Stony Block now", "#/"]);
  assert.equal(reduce(said, { do: "go", address: "#/" }), said);
  const gone = reduce(said, { do: "go", address: "#/enrol" });
  assert.deepEqual([gone.said, gone.address], ["", "#/enrol"]);
});
