import assert from "node:assert/strict";
import test from "node:test";
import { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import { ConnectionLost, Refusal } from "./errors.ts";
import { PartSize, sendPhoto, type PhotoUpload } from "./photoparts.ts";

interface Answer {
  readonly status: number;
  readonly offset?: number;
  readonly complete?: boolean;
}

/** Sends a photo of so many bytes against these answers, and gives what was asked: the method, and of a part its place and bytes. */
async function sent(bytes: number, answers: readonly Answer[]): Promise<{ asked: string[]; error: unknown }> {
  const asked: string[] = [];
  const fetched = globalThis.fetch;
  globalThis.fetch = (_, how) => {
    const headers = new Headers(how?.headers);
    const body = how?.body as ArrayBuffer | null;
    asked.push(body ? `${headers.get("Upload-Offset")}+${body.byteLength} of ${headers.get("Upload-Length")}` : how!.method!);
    const answer = answers[asked.length - 1];
    if (!answer) return Promise.reject(new TypeError("cut"));
    const given = answer.offset === undefined ? {} : { "Upload-Offset": String(answer.offset) };
    const status = answer.status;
    return Promise.resolve(
      new Response(status === 204 ? null : JSON.stringify({ reason: "no" }), {
        status,
        headers: { ...given, "Upload-Complete": answer.complete ? "?1" : "?0" },
      }),
    );
  };
  try {
    const door = {
      origin: "https://here.invalid",
      token: "t",
      part: new PartSize(),
      signal: new AbortController().signal,
      first: () => Promise.resolve(),
    };
    await sendPhoto(door, "aa", new ArrayBuffer(bytes));
    return { asked, error: null };
  } catch (error) {
    return { asked, error };
  } finally {
    globalThis.fetch = fetched;
  }
}

const at = (offset: number, complete = false): Answer => ({ status: 204, offset, complete });

test("a photo is sent from where the server stands until it has verified it", async () => {
  for (const [name, answers, want] of [
    ["it is there", [at(10, true)], ["HEAD"]],
    ["whole", [at(0), at(10, true)], ["HEAD", "0+10 of 10"]],
    ["half of it is there", [at(6), at(10, true)], ["HEAD", "6+4 of 10"]],
    ["every byte is there, and not verified", [at(10), at(10, true)], ["HEAD", "10+0 of 10"]],
    ["part by part", [at(0), at(4), at(10, true)], ["HEAD", "0+10 of 10", "4+6 of 10"]],
    [
      "another has sent some meanwhile",
      [at(0), { status: 409, offset: 4 }, at(4), at(10, true)],
      ["HEAD", "0+10 of 10", "HEAD", "4+6 of 10"],
    ],
    ["damaged once", [at(6), { status: 422 }, at(10, true)], ["HEAD", "6+4 of 10", "0+10 of 10"]],
  ] as [string, Answer[], string[]][]) {
    assert.deepEqual(await sent(10, answers), { asked: want, error: null }, name);
  }
});

test("what a server does that no photo goes with ends it", async () => {
  for (const [name, answers, kind, words] of [
    ["more is there than the photo has", [at(11)], Refusal, /11 bytes of a photo of 10/],
    ["it stays where it is", [at(4), at(4)], ConnectionLost, /does not get on/],
    ["damaged twice", [at(0), { status: 422 }, { status: 422 }], Refusal, /is damaged/],
    ["no word on how much is there", [{ status: 204 }], ConnectionLost, /did not say how much/],
    ["the line is cut", [at(0)], ConnectionLost, /cut/],
    ["no room", [{ status: 507 }, { status: 507 }], Refusal, /no/],
    ["room again meanwhile", [{ status: 507 }, at(0)], ConnectionLost, /room again/],
    ["no right any more", [{ status: 403 }], Refusal, /refuses this phone/],
  ] as [string, Answer[], typeof Refusal | typeof ConnectionLost, RegExp][]) {
    const { error } = await sent(10, answers);
    assert.ok(error instanceof kind && words.test(error.message), `${name}: ${String(error)}`);
  }
});

test("parts follow what the line carries", () => {
  const part = new PartSize();
  const first = part.bytes;
  part.through(2_000);
  assert.equal(part.bytes, first, "a part that took two seconds is large enough");
  part.through(1_999);
  assert.equal(part.bytes, 2 * first);
  for (let i = 0; i < 9; i++) part.through(0);
  assert.equal(part.bytes, 4 << 20);
  for (let i = 0; i < 9; i++) part.broke();
  assert.equal(part.bytes, 256 << 10);
});

/** Sends a photo on a clock to a server that answers by this, and gives what was done and with which signals. */
async function onClock(
  bytes: number,
  answer: (method: string, signal: AbortSignal) => Response | Promise<Response>,
  job: (is: { clock: Clock; did: string[]; signals: AbortSignal[]; stop: AbortController; sending: Promise<unknown> }) => Promise<void>,
): Promise<void> {
  const clock = new Clock(),
    stop = new AbortController();
  const did: string[] = [],
    signals: AbortSignal[] = [];
  const fetch = async (_: string, { method, body, signal }: { method: string; body: ArrayBuffer | null; signal: AbortSignal }) => {
    did.push(body ? `${method} ${body.byteLength}` : method);
    signals.push(signal);
    return answer(method, signal);
  };
  const upload: PhotoUpload = {
    ...{ origin: "https://here.invalid", token: "t", part: new PartSize(), signal: stop.signal },
    first: async () => void did.push("entries"),
  };
  await withGlobals({ ...clock.globals, fetch }, async () => {
    const sending = sendPhoto(upload, "aa", new ArrayBuffer(bytes)).catch((e: unknown) => e);
    await job({ clock, did, signals, stop, sending });
    await clock.end();
  });
}

test("entries go before each part, and the parts grow while each is through within two seconds", async () => {
  const MB = 1 << 20;
  for (const [tookMS, want] of [
    [1_999, [1, 2, 4, 3]],
    [2_000, [1, 1, 1, 1, 1, 1, 1, 1, 1, 1]],
  ] as const) {
    let has = 0,
      part = 0;
    const answer = async (method: string) => {
      if (method === "PATCH") {
        await new Promise((go) => setTimeout(go, tookMS));
        has += want[part++]! * MB;
      }
      return new Response(null, { headers: { "Upload-Offset": String(has), "Upload-Complete": has === 10 * MB ? "?1" : "?0" } });
    };
    await onClock(10 * MB, answer, async ({ clock, did, signals, stop, sending }) => {
      await clock.pass(30_000);
      assert.equal(await sending, undefined);
      assert.deepEqual(did, ["HEAD", ...want.flatMap((size) => ["entries", `PATCH ${size * MB}`])]);
      await clock.pass(60_000);
      stop.abort();
      assert.ok(!signals.some(({ aborted }) => aborted), "nothing is broken off that has ended");
    });
  }
});

test("a part is broken off when it takes a minute, and when the sending is stopped", async () => {
  const never = (_: string, signal: AbortSignal) =>
    new Promise<Response>((_, no) => signal.addEventListener("abort", () => no(new DOMException("broken off", "AbortError"))));
  await onClock(9, never, async ({ clock, signals, sending }) => {
    await clock.pass(59_999);
    assert.equal(signals[0]!.aborted, false);
    await clock.pass(1);
    assert.ok((await sending) instanceof ConnectionLost);
  });
  await onClock(9, never, async ({ clock, stop, sending }) => {
    await clock.settle();
    stop.abort();
    assert.ok((await sending) instanceof ConnectionLost);
  });
});

test("what a server says against a photo is told, and whether it may take it later", async () => {
  for (const [status, said, reason, closing, later] of [
    [401, { reason: "is revoked" }, "is revoked", true, false],
    [403, { reason: "no right" }, "no right", true, false],
    [500, { reason: 5 }, "the server answered 500", false, false],
    [500, null, "the server answered 500", false, false],
    [500, "broken", "the server answered 500", false, false],
    [500, {}, "the server answered 500", false, false],
    [503, { reason: "busy" }, "busy", false, true],
    [507, { reason: "no room" }, "no room", false, true],
    [413, { reason: "too large" }, "too large", false, false],
  ] as const) {
    const answer = (method: string) =>
      method === "HEAD" ? new Response(null, { headers: { "Upload-Offset": "0" } }) : Response.json(said, { status });
    await onClock(9, answer, async ({ sending }) => {
      const why = (await sending) as Refusal;
      assert.deepEqual([why.problem.reason, why.closing, why.later], [reason, closing, later], `${status} ${JSON.stringify(said)}`);
    });
  }
  const odd = () => new Response(null, { headers: { "Upload-Offset": "-1" } });
  await onClock(9, odd, async ({ sending }) => assert.match(String(await sending), /did not say how much/));
});
