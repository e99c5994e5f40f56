// The picture of a photo: from this phone, from the small versions kept on it, or from the server.

import assert from "node:assert/strict";
import test from "node:test";
import { withGlobals } from "../base/globals.test.ts";
import { onPhone, property, self } from "./phone.test.ts";
import { pictureOf, smallAddress, smallCache, smallPicture, wholePicture } from "./smallphotos.ts";

const bytes = (blob: Blob | undefined) => blob?.arrayBuffer().then((all) => [...new Uint8Array(all)]);

test("a photo taken here is shown from here, and whether it still waits is known", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    await store.capture(property, [
      { feature: "dam", photo: { bytes: new Uint8Array([7, 8]).buffer, takenFor: "dam" }, set: { kind: "check-dam" } },
    ]);
    const [held] = await store.photos("dam");
    const waits = await pictureOf(store, "dam", held!.sha);
    assert.deepEqual([await bytes(waits?.blob), waits?.waits, waits?.blob.type], [[7, 8], true, "image/jpeg"]);
    await store.outbox.photoSent(held!.sha);
    assert.equal((await pictureOf(store, "dam", held!.sha))?.waits, false);
  }));

test("a photo whose bytes the browser has lost is shown small from the server, and so is not said to wait", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    await store.enrol(self("phone-1"));
    await store.capture(property, [{ feature: "dam", photo: { bytes: new Uint8Array([7, 8]).buffer, takenFor: "dam" } }]);
    const { sha } = (await store.photos("dam"))[0]!;
    await store.db.write(["photoBytes"], (tx) => tx.objectStore("photoBytes").clear());
    await withGlobals({ fetch: async () => new Response(new Uint8Array([1])) }, async () => {
      const found = await pictureOf(store, "dam", sha);
      assert.deepEqual([await bytes(found?.blob), found?.waits], [[1], false]);
    });
  }));

test("another's photo is fetched small once, with the phone's token, and kept", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    const asked: string[] = [];
    let answer = (): Response => new Response(new Uint8Array([1]));
    const fetch = async (address: string, how: RequestInit) => {
      asked.push(`${address} ${(how.headers as { Authorization: string }).Authorization}`);
      return answer();
    };
    await withGlobals({ fetch }, async () => {
      assert.equal(await smallPicture(store, "aa"), undefined, "nobody is enrolled");
      assert.deepEqual(asked, []);
      await store.enrol(self("phone-1"));
      answer = () => new Response(null, { status: 404 });
      assert.deepEqual([await smallPicture(store, "aa"), await pictureOf(store, "dam", "aa")], [undefined, undefined]);
      answer = () => {
        throw new TypeError("no signal");
      };
      assert.equal(await smallPicture(store, "aa"), undefined);
      assert.equal(phone.caches.all.get(smallCache)?.size ?? 0, 0);
      answer = () => new Response(new Uint8Array([1]));
      const found = await pictureOf(store, "dam", "aa");
      assert.deepEqual([await bytes(found?.blob), found?.waits], [[1], false]);
      assert.deepEqual(asked, Array<string>(4).fill(`/photos/aa?small=1 Bearer token of phone-1`));
      assert.deepEqual([...phone.caches.all.get(smallCache)!.keys()], [smallAddress("aa")]);
      assert.deepEqual(await bytes(await smallPicture(store, "aa")), [1]);
      assert.equal(asked.length, 4, "it is here");
      const full = { open: () => Promise.reject(new DOMException("full", "QuotaExceededError")) };
      await withGlobals({ caches: full }, async () => assert.deepEqual(await bytes(await smallPicture(store, "aa")), [1]));
      assert.equal(asked.length, 5, "with no room it is shown, and fetched again");
    });
  }));

test("the whole photo is asked for with the token each time, and not kept", () =>
  onPhone(async (phone) => {
    const store = await phone.open();
    const asked: string[] = [];
    let status = 200;
    const fetch = async (address: string, how: RequestInit) => {
      asked.push(`${address} ${(how.headers as { Authorization: string }).Authorization}`);
      return new Response(new Uint8Array([1, 2]), { status });
    };
    await withGlobals({ fetch }, async () => {
      assert.equal(await wholePicture(store, "aa"), undefined, "nobody is enrolled");
      await store.enrol(self("phone-1"));
      for (let i = 0; i < 2; i++) assert.deepEqual(await bytes((await wholePicture(store, "aa"))?.blob), [1, 2]);
      status = 404;
      assert.equal(await wholePicture(store, "aa"), undefined);
    });
    assert.deepEqual(asked, Array<string>(3).fill("/photos/aa Bearer token of phone-1"));
    assert.equal(phone.caches.all.get(smallCache)?.size ?? 0, 0);
  }));
