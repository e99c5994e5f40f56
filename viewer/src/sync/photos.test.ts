import assert from "node:assert/strict";
import test from "node:test";
import type { Outbox } from "../storage/store.ts";
import type { NeverTaken } from "./errors.ts";
import { PartSize } from "./photoparts.ts";
import { Photos } from "./photos.ts";

test("what the server never takes is kept, said, and sent again only when somebody asks", async () => {
  let sent = 0,
    status = 415;
  const fetched = globalThis.fetch;
  globalThis.fetch = (_, how) => {
    const asked = how?.method === "HEAD";
    if (!asked) sent++;
    return Promise.resolve(
      new Response(asked ? null : JSON.stringify({ path: "photo", reason: "no picture" }), {
        status: asked ? 204 : status,
        headers: { "Upload-Offset": "0", "Upload-Complete": "?0" },
      }),
    );
  };
  const outbox = {
    photosWaiting: () => Promise.resolve([{ sha: "aa", bytes: () => Promise.resolve(new ArrayBuffer(9)) }]),
  } as unknown as Outbox;
  const never = new Map<string, NeverTaken>();
  const connect = (): { photos: Photos; rest: () => Promise<void> } => {
    let changed = (): void => undefined;
    const photos = new Photos(
      {
        origin: "https://here.invalid",
        token: "t",
        outbox,
        first: () => Promise.resolve(),
        sent: () => undefined,
        broke: () => undefined,
        refused: () => undefined,
        changed: () => changed(),
      },
      new PartSize(),
      never,
    );
    return {
      photos,
      rest: () =>
        new Promise((rested) => {
          changed = rested;
          photos.goOn();
        }),
    };
  };
  const idle = async (photos: Photos): Promise<void> => {
    while (photos.busy > 0) await new Promise((r) => setTimeout(r, 0));
  };

  const one = connect();
  await one.rest();
  assert.equal(sent, 1);
  one.photos.stop();

  const two = connect();
  two.photos.goOn();
  await idle(two.photos);
  two.photos.hurry();
  await idle(two.photos);
  assert.equal(sent, 1, "sent again at the next connection");
  assert.equal(two.photos.complaint?.problem.reason, "no picture");

  two.photos.sendAll();
  await two.rest();
  assert.equal(sent, 2, "the officer asked, and it was not sent");

  status = 500; // the server's own trouble passes: the next connection tries again
  two.photos.sendAll();
  await two.rest();
  const three = connect();
  await three.rest();
  assert.equal(sent, 4);
  globalThis.fetch = fetched;
});
