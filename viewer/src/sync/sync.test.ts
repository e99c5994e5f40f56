// A phone and a server in conversation. No browser.

import assert from "node:assert/strict";
import test from "node:test";
import { entryOf, property, read, until, type Phone } from "../storage/phone.test.ts";
import { onLine, type Server } from "./server.test.ts";

const peg = (phone: Phone, name = "A", of = property) => phone.store.capture(of, [{ set: { kind: "peg", name } }]);
const names = (server: Server, of = property) => server.of(of).texts.map((text) => read(text).set?.["name"]);
const photo = (byte: number) => ({ photo: { bytes: new Uint8Array([byte]).buffer, takenFor: `dam-${byte}` } });

test("what is recorded is sent at once, and comes back with its number", () =>
  onLine(async (phone, server, sync) => {
    await until(() => sync.state().state === "quiet");
    assert.equal(Math.abs(sync.state().clockOffS), 0);
    let told = 0;
    const stop = sync.watch(() => void told++);
    await peg(phone);
    await until(() => server.of(property).texts.length === 1);
    await until(async () => (await phone.store.outbox.position(property))?.n === 1);
    await until(() => sync.state().state === "quiet");
    assert.match(sync.state().words, /^Everything recorded here is sent\. Last contact \d\d:\d\d\.$/);
    assert.ok(Math.abs(sync.state().lastSent!.getTime() - Date.now()) < 60_000 && told > 0);
    assert.deepEqual(await phone.store.outbox.unreturned(property), []);
    assert.match(phone.slots.get("headcut-link")!, /"lastSentMS":[\d.]+,"clockOffS":0/);
    stop();
    const { type, version, token, device } = server.heard[0]!;
    assert.deepEqual([type, version, token, device], ["hello", 2, "t1", "phone-1"]);
  }));

test("what others recorded comes in, at first all of it, then what the server hints at", () =>
  onLine(
    async (phone, server, sync) => {
      const loading: (number | undefined)[] = [];
      sync.watch(() => {
        const now = sync.state().loading;
        if (!now) return;
        loading.push(now.entries);
        assert.equal(now.ofEntries, 120);
      });
      await until(async () => (await phone.store.features(property)).length === 120);
      await until(() => sync.state().state === "quiet");
      assert.ok(loading.length > 0 && loading.every((n) => n! <= 120));
      assert.equal(sync.state().loading, null);
      const pulls = server.count("pull");
      assert.equal(server.heard.find((asked) => asked.type === "pull")!["at"], undefined);
      server.of(property).take(entryOf("late", { kind: "peg" }));
      server.socket.says({ type: "hint", property, n: 121 });
      await until(async () => (await phone.store.features(property)).length === 121);
      assert.equal(server.count("pull"), pulls + 1);
      await until(() => sync.state().state === "quiet");
      assert.equal(server.count("push"), 0);
    },
    (_, server) => {
      for (let n = 0; n < 120; n++) server.of(property).take(entryOf(`peg-${n}`, { kind: "peg" }));
    },
  ));

test("with no answer everything stays here, and goes when the officer asks again", () =>
  onLine(
    async (phone, server, sync) => {
      await peg(phone);
      await until(() => server.sockets.length > 0);
      await until(() => sync.state().state === "never" && /entry/.test(sync.state().words));
      assert.match(sync.state().words, /^No answer from the server\. 1 entry not sent yet\. No contact with the server yet\.$/);
      server.down = false;
      sync.sendNow();
      await until(() => sync.state().state === "quiet");
      assert.deepEqual(names(server), ["A"]);
      server.down = true;
      server.socket.ended(1006);
      await until(() => sync.state().state === "no-answer");
      await peg(phone, "B");
      await until(() => /1 entry not sent yet/.test(sync.state().words));
      server.down = false;
      sync.sendNow();
      await until(() => names(server).length === 2);
    },
    (_, server) => void (server.down = true),
  ));

test("signal that returns, or a page that is seen again, tries at once; a page out of sight waits", () =>
  onLine(
    async (phone, server, sync) => {
      await peg(phone);
      await until(() => /1 entry not sent yet/.test(sync.state().words)); // it has heard of the capture, and waits
      assert.equal(server.sockets.length, 0);
      phone.document.visibilityState = "visible";
      phone.document.dispatchEvent(new Event("visibilitychange"));
      await until(() => sync.state().state === "quiet");
      server.silent = true;
      server.socket.ended(1001);
      server.down = true;
      await until(() => sync.state().state === "no-answer");
      server.down = server.silent = false;
      phone.window.dispatchEvent(new Event("online"));
      await until(() => sync.state().state === "quiet");
    },
    (phone) => void (phone.document.visibilityState = "hidden"),
  ));

test("a phone that has no rights any more says so, and goes on once it is somebody else", () =>
  onLine(
    async (phone, server, sync) => {
      await until(() => sync.state().state === "refused");
      assert.match(sync.state().words, /^The server refuses this phone\. The device was revoked\. Ask the office/);
      await peg(phone);
      await until(() => /1 entry not sent yet: nothing is lost/.test(sync.state().words));
      server.odd = () => undefined;
      await phone.store.enrol({ device: "phone-2", token: "t2", author: "R. Field", properties: [{ id: property, name: "" }] });
      sync.sendNow();
      await until(() => server.of(property).texts.length === 1);
      assert.equal(read(server.of(property).texts[0]!).device, "phone-2");
      assert.ok(
        server.heard.some((asked) => asked.type === "missing"),
        "what has no receipt is asked about before it is sent again",
      );
    },
    (_, server) =>
      void (server.odd = (asked) =>
        asked.type === "hello"
          ? { type: "problem", closing: true, problem: { path: "token", reason: "the device was revoked", fix: "ask the office" } }
          : undefined),
  ));

test("an entry that the server refuses is told and holds up no other; another phone under this number stops all", () =>
  onLine(async (phone, server, sync) => {
    server.receipt = (receipt, entry) => (entry.set?.["name"] === "bad" ? { ...receipt, refused: "it is too far" } : receipt);
    await peg(phone, "bad");
    await peg(phone, "good");
    await until(() => names(server).includes("good"));
    await until(async () => (await phone.store.refusals()).length === 1);
    assert.deepEqual(names(server), ["good"]);
    await until(() => sync.state().state === "quiet");
    server.receipt = (receipt) => ({ ...receipt, cloned: true });
    await peg(phone, "twin");
    await until(() => sync.state().state === "refused");
    assert.match(sync.state().words, /Another phone records under this phone's device number/);
    assert.equal(phone.store.cloned(), true);
  }));

test("a property that was begun here is made there before anything of it is sent", () =>
  onLine(async (phone, server, sync) => {
    await until(() => sync.state().state === "quiet");
    const begun = await phone.store.beginProperty("Far Block");
    const other = await phone.store.beginProperty("New Block");
    for (const id of [begun.id, other.id]) {
      await peg(phone, "far", id);
      await until(() => server.registers.has(id) && names(server, id).length === 1);
    }
    assert.deepEqual(
      server.heard.filter((asked) => asked.type === "begin"),
      [
        { type: "begin", property: begun.id, name: "Far Block", entries: undefined },
        { type: "begin", property: other.id, name: "New Block", entries: undefined },
      ],
    );
    await peg(phone, "far again", begun.id);
    await until(() => names(server, begun.id).length === 2);
    assert.deepEqual([server.count("begin"), server.count("hello")], [2, 1]);
  }));

test("a server that is too old for a property begun here is told, and takes the others' entries", () =>
  onLine(
    async (phone, server, sync) => {
      const begun = await phone.store.beginProperty("Far Block");
      await peg(phone, "far", begun.id);
      await peg(phone);
      await until(() => sync.state().state === "no-answer" && names(server).length === 1);
      await until(() => /1 entry not sent yet/.test(sync.state().words));
      assert.match(sync.state().words, /^The server has not accepted everything\. The server is too old/);
      assert.equal(server.count("begin"), 0);
    },
    (_, server) => void (server.version = 1),
  ));

test("a server restored from an older copy gets again what it lacks", () =>
  onLine(async (phone, server, sync) => {
    for (const name of ["A", "B", "C"]) await peg(phone, name);
    await until(async () => (await phone.store.outbox.position(property))?.n === 3);
    await until(() => sync.state().state === "quiet");
    const [first] = server.of(property).texts;
    const { Register } = await import("../storage/phone.test.ts");
    const older = new Register("e2");
    older.take(first!, entryOf("dam", { kind: "check-dam", name: "theirs" }));
    server.registers.set(property, older);
    server.socket.ended(1012);
    await until(async () => (await phone.store.outbox.position(property))?.n === 4);
    await until(() => sync.state().state === "quiet");
    assert.deepEqual([names(server), (await phone.store.features(property)).length], [["A", "theirs", "B", "C"], 4]);
    assert.deepEqual(await phone.store.outbox.position(property), older.at());
  }));

test("where the server lacks an entry before one that it takes, the phone asks what else it lacks", () =>
  onLine(async (phone, server, sync) => {
    await peg(phone, "A");
    await until(async () => (await phone.store.outbox.position(property))?.n === 1);
    await until(() => sync.state().state === "quiet");
    server.socket.ended(1012);
    await until(() => server.count("hello") === 2 && sync.state().state === "quiet");
    const asked = server.count("missing");
    server.receipt = (receipt) => ({ ...receipt, highSeq: 0 });
    await peg(phone, "B");
    await until(() => server.count("missing") > asked && sync.state().state === "quiet");
    await peg(phone, "C");
    await until(() => names(server).length === 3 && sync.state().state === "quiet");
    assert.equal(server.count("missing"), asked + 1, "once on a connection");
  }));

test("photos follow their entries, and one that is not taken is told", () =>
  onLine(async (phone, server, sync) => {
    server.photo = (_, sha) => (sha === refused ? Response.json({ reason: "the photo is no picture" }, { status: 415 }) : undefined);
    let refused = "";
    await phone.store.capture(property, [photo(1)]);
    await until(() => server.photos.size === 1);
    await until(async () => (await phone.store.counts()).photosUnsent === 0);
    assert.equal(server.of(property).texts.length, 1);
    const [sent] = [...server.photos.keys()];
    await until(() => sync.state().state === "quiet");
    server.photos.clear();
    server.socket.says({ type: "wanted", photos: [sent] });
    await until(() => server.photos.has(sent!));
    const { createHash } = await import("node:crypto");
    refused = createHash("sha256")
      .update(new Uint8Array([2]))
      .digest("hex");
    await phone.store.capture(property, [photo(2)]);
    await until(() => /The photo is no picture/.test(sync.state().words));
    assert.equal(sync.state().state, "no-answer");
    await phone.store.capture(property, [photo(3)]);
    await until(() => server.photos.size === 2);
    const tries = server.asked.filter((a) => a === `HEAD ${refused}`).length;
    refused = "";
    sync.sendNow();
    await until(() => sync.state().state === "quiet");
    assert.equal(server.asked.filter((a) => a.startsWith("HEAD") && a.endsWith([...server.photos.keys()][2]!)).length, tries + 1);
  }));

test("what came in and cannot be kept is told, and holds up no sending", () =>
  onLine(async (phone, server, sync) => {
    await until(() => sync.state().state === "quiet");
    server.of(property).texts.push("{}");
    server.of(property).chain.push(Buffer.alloc(32));
    server.socket.says({ type: "hint", property, n: 1 });
    await until(() => /What others recorded could not be loaded\. .*entry 1 of the server cannot be read/.test(sync.state().words));
    server.of(property).texts.pop();
    server.of(property).chain.pop();
    await peg(phone);
    await until(() => names(server).length === 1);
    await until(async () => (await phone.store.outbox.position(property))?.n === 1);
    await until(() => sync.state().state === "quiet" && !/could not be loaded/.test(sync.state().words));
  }));

test("a server that asks for time is left alone", () =>
  onLine(async (_, server, sync) => {
    await until(() => sync.state().state === "quiet");
    const words = new Set<string>();
    sync.watch(() => void words.add(sync.state().words.split(".")[0]!));
    server.socket.says({ type: "later", afterMS: 300, withinMS: 0 });
    const sockets = server.sockets.length,
      endedMS = performance.now();
    server.socket.ended(1012);
    sync.sendNow();
    await until(() => server.sockets.length > sockets);
    assert.ok(server.socket.madeMS - endedMS > 200, "it was not hurried"); // timers count from when the loop last looked at its clock
    await until(() => sync.state().state === "quiet");
    assert.ok(words.has("The server asked to wait a moment"));
  }));

test("what the server answers instead of what was asked ends the connection, and the next goes on", () =>
  onLine(async (phone, server, sync) => {
    await until(() => sync.state().state === "quiet");
    for (const type of ["push", "pull"] as const) {
      let times = 1;
      server.odd = (asked) => (asked.type === type && times-- > 0 ? { type: "lacks", property, ids: [] } : undefined);
      const sockets = server.sockets.length;
      await peg(phone, type);
      await until(() => server.sockets.length > sockets);
      await until(() => names(server).includes(type) && sync.state().state === "quiet");
    }
    assert.deepEqual(names(server), ["push", "pull"]);
  }));

test("a server that answers with something else is left, and asked again", async () => {
  for (const type of ["push", "pull"])
    await onLine(
      async (phone, server, sync) => {
        await peg(phone);
        await until(() => server.sockets.length > 1);
        server.odd = () => undefined;
        sync.sendNow();
        await until(() => server.of(property).texts.length === 1);
        await until(() => sync.state().state === "quiet");
      },
      (_, server) => {
        server.odd = (asked) => (asked.type === type ? { type: "begun", property: { id: "x", name: "X" } } : undefined);
      },
    );
});
