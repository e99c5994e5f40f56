import assert from "node:assert/strict";
import test from "node:test";
import type { Counts } from "../storage/store.ts";
import { begin, linkState, next, type Facts, type SyncEvent } from "./state.ts";

const now = new Date(2026, 10, 25, 16, 30);
const at1042 = new Date(2026, 10, 25, 10, 42).getTime();

const counts = (unsent: number, photosUnsent = 0, photoBytesUnsent = 0): SyncEvent => {
  const all: Counts = { entries: 40, unsent, refused: 0, photosUnsent, photoBytesUnsent, oldestUnsent: null };
  return { did: "counts", counts: all, enrolled: true, old: false };
};

function after(...events: SyncEvent[]): Facts {
  return events.reduce(next, begin({ lastSentMS: null, clockOffS: 0 }));
}

const up: SyncEvent[] = [{ did: "trying" }, { did: "welcomed", clockOffS: 7 }];
const cases: { name: string; did: SyncEvent[]; state: string; words: string }[] = [
  { name: "before enrolment", did: [], state: "never", words: "This phone is not enrolled." },
  {
    name: "nothing sent yet",
    did: [counts(1), { did: "lost", later: false, trouble: null }],
    state: "never",
    words: "No answer from the server. 1 entry not sent yet. No contact with the server yet.",
  },
  {
    name: "looking",
    did: [counts(12), { did: "acknowledged", atMS: at1042 }, { did: "trying" }],
    state: "trying",
    words: "Looking for the server. 12 entries not sent yet. Last contact 10:42.",
  },
  { name: "connected is not sent", did: [...up, counts(0)], state: "sending", words: "Fetching what others recorded." },
  {
    name: "sending",
    did: [{ did: "acknowledged", atMS: at1042 }, ...up, counts(12, 3, 1_800_000)],
    state: "sending",
    words: "Sending: 12 entries and 3 photos (1.8 MB) not sent yet. Keep this page open. Last contact 10:42.",
  },
  {
    name: "all fetched but photos wait",
    did: [{ did: "acknowledged", atMS: at1042 }, ...up, counts(0, 1, 600_000), { did: "fetched" }],
    state: "sending",
    words: "Sending: 1 photo (600 kB) not sent yet. Keep this page open. Last contact 10:42.",
  },
  {
    name: "quiet",
    did: [...up, counts(0), { did: "fetched" }, { did: "acknowledged", atMS: at1042 }],
    state: "quiet",
    words: "Everything recorded here is sent. Last contact 10:42.",
  },
  {
    name: "what is not counted yet ends the quiet",
    did: [...up, counts(0), { did: "fetched" }, { did: "acknowledged", atMS: at1042 }, { did: "changed" }],
    state: "sending",
    words: "Counting what was recorded.",
  },
  {
    name: "a capture ends the quiet",
    did: [...up, counts(0), { did: "fetched" }, { did: "acknowledged", atMS: at1042 }, counts(1)],
    state: "sending",
    words: "Sending: 1 entry not sent yet. Keep this page open. Last contact 10:42.",
  },
  {
    name: "lost with nothing to send",
    did: [{ did: "acknowledged", atMS: at1042 }, ...up, counts(0), { did: "lost", later: false, trouble: null }],
    state: "no-answer",
    words: "No answer from the server. Everything recorded here is sent. Last contact 10:42.",
  },
  {
    name: "lost before what was recorded is counted",
    did: [{ did: "acknowledged", atMS: at1042 }, ...up, counts(0), { did: "lost", later: false, trouble: null }, { did: "changed" }],
    state: "no-answer",
    words: "No answer from the server. Last contact 10:42.",
  },
  {
    name: "told to wait",
    did: [{ did: "acknowledged", atMS: at1042 }, ...up, counts(2), { did: "lost", later: true, trouble: null }],
    state: "no-answer",
    words: "The server asked to wait a moment. 2 entries not sent yet. Last contact 10:42.",
  },
  {
    name: "full disk",
    did: [
      { did: "acknowledged", atMS: at1042 },
      ...up,
      counts(2),
      { did: "fetched" },
      { did: "trouble", untaken: { reason: "the server's disk is full", fix: "keep it and send it again later" }, unkept: null },
    ],
    state: "no-answer",
    words:
      "The server has not accepted everything. The server's disk is full. Keep it and send it again later. 2 entries not sent yet. Last contact 10:42.",
  },
  {
    name: "refused",
    did: [
      counts(12),
      { did: "acknowledged", atMS: at1042 },
      { did: "refused", problem: { reason: "this device's rights were taken away", fix: "ask the office" } },
    ],
    state: "refused",
    words:
      "The server refuses this phone. This device's rights were taken away. Ask the office. 12 entries not sent yet: nothing is lost, it stays on this phone. Save it to a file and give that to the office. Last contact 10:42.",
  },
  {
    name: "first loading",
    did: [...up, counts(0), { did: "fetching", loading: { property: "p", entries: 1200, ofEntries: 5000, photos: null } }],
    state: "sending",
    words: "Loading: 1,200 of 5,000 entries.",
  },
  {
    name: "first loading from a server that tells no total",
    did: [...up, counts(0), { did: "fetching", loading: { property: "p", entries: 1200, ofEntries: null, photos: null } }],
    state: "sending",
    words: "Loading: 1,200 entries so far.",
  },
  {
    name: "first loading of photos",
    did: [...up, counts(0), { did: "fetching", loading: { property: "p", entries: 0, ofEntries: null, photos: { got: 3, of: 40 } } }],
    state: "sending",
    words: "Loading photos: 3 of 40.",
  },
  {
    name: "first loading while something waits",
    did: [...up, counts(2), { did: "fetching", loading: { property: "p", entries: 3, ofEntries: 9, photos: null } }],
    state: "sending",
    words: "Loading: 3 of 9 entries. 2 entries not sent yet.",
  },
  {
    name: "looking with nothing to send",
    did: [counts(0), { did: "acknowledged", atMS: at1042 }, { did: "trying" }],
    state: "trying",
    words: "Looking for the server. Last contact 10:42.",
  },
  {
    name: "what is not accepted waits no more",
    did: [
      { did: "acknowledged", atMS: at1042 },
      ...up,
      counts(0),
      { did: "trouble", untaken: { reason: "the disk is full" }, unkept: null },
    ],
    state: "no-answer",
    words: "The server has not accepted everything. The disk is full. Last contact 10:42.",
  },
  {
    name: "lost after something was not accepted",
    did: [
      { did: "acknowledged", atMS: at1042 },
      ...up,
      counts(1),
      { did: "trouble", untaken: { reason: "the disk is full" }, unkept: null },
      { did: "lost", later: false, trouble: null },
    ],
    state: "no-answer",
    words: "No answer from the server. 1 entry not sent yet. Last contact 10:42.",
  },
  {
    name: "a store in trouble with nothing to send",
    did: [{ did: "acknowledged", atMS: at1042 }, counts(0), { did: "lost", later: false, trouble: { reason: "this page is open twice" } }],
    state: "no-answer",
    words: "This page is open twice. Last contact 10:42.",
  },
  {
    name: "refused with nothing to send",
    did: [counts(0), { did: "acknowledged", atMS: at1042 }, { did: "refused", problem: { reason: "its rights were taken away" } }],
    state: "refused",
    words: "The server refuses this phone. Its rights were taken away. Everything recorded here is sent. Last contact 10:42.",
  },
  {
    name: "what came in could not be kept",
    did: [
      ...up,
      counts(0),
      { did: "fetched" },
      { did: "acknowledged", atMS: at1042 },
      { did: "trouble", untaken: null, unkept: { reason: "no room", fix: "make some" } },
    ],
    state: "quiet",
    words: "Everything recorded here is sent. Last contact 10:42. What others recorded could not be loaded. No room. Make some.",
  },
  {
    name: "yesterday",
    did: [counts(1), { did: "acknowledged", atMS: at1042 - 86_400_000 }, { did: "lost", later: false, trouble: null }],
    state: "no-answer",
    words: "No answer from the server. 1 entry not sent yet. Last contact 10:42 on 24 November 2026.",
  },
];

for (const c of cases) {
  test(`the link says: ${c.name}`, () => {
    const got = linkState(after(...c.did), now);
    assert.equal(got.words, c.words);
    assert.equal(got.state, c.state);
  });
}

test("no event but a welcome makes a refused phone welcome", () => {
  const refused = after(counts(1), { did: "refused", problem: { reason: "no" } });
  for (const event of [
    { did: "trying" },
    { did: "acknowledged", atMS: 1 },
    { did: "fetched" },
    { did: "lost", later: false, trouble: null },
    counts(0),
  ] as SyncEvent[]) {
    assert.equal(linkState(next(refused, event), now).state, "refused", event.did);
  }
  assert.notEqual(linkState(next(refused, up[1]!), now).state, "refused");
});

test("a reason why nothing is sent stands until the server welcomes the phone", () => {
  const shut: SyncEvent = { did: "lost", later: true, trouble: { reason: "the office has not confirmed this phone yet" } };
  const stopped = next(after(counts(1)), shut);
  assert.equal(linkState(stopped, now).stopped, true);
  assert.equal(linkState(next(stopped, { did: "trying" }), now).stopped, true, "while it tries again");
  assert.equal(linkState(next(stopped, { did: "lost", later: false, trouble: null }), now).stopped, false, "out of reach");
  assert.equal(linkState(next(stopped, up[1]!), now).stopped, false, "welcome");
});
