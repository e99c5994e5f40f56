// A server for tests of the page's end: it keeps registers and photos, and speaks the frames of
// sync/wire as Go's does. What the real one does with the shipped page, viewer/fieldtest tries.

import { createHash } from "node:crypto";
import type { Entry } from "../base/entry.ts";
import type { Clock } from "../base/clock.test.ts";
import { withGlobals } from "../base/globals.test.ts";
import { onPhone, property, read, Register, type Phone } from "../storage/phone.test.ts";
import type { Property, Receipt } from "../storage/store.ts";
import type { Sync } from "./state.ts";
import { PhoneSync } from "./sync.ts";

type Asked = { readonly [member: string]: unknown } & { readonly type: string };

/** The page's end of a connection. */
class Socket {
  static readonly OPEN = 1;
  readonly madeMS = performance.now();
  readyState = 0;
  bufferedAmount = 0;
  onopen: (() => void) | null = null;
  onmessage: ((event: { data: string }) => void) | null = null;
  onclose: ((event: { code: number; reason: string }) => void) | null = null;

  constructor(readonly server: Server) {
    server.sockets.push(this);
    setImmediate(() => {
      if (server.down) return this.ended(1006);
      this.readyState = 1;
      this.onopen?.();
    });
  }

  send(text: string): void {
    if (!this.server.silent) setImmediate(() => this.readyState === 1 && this.server.hear(this, text));
  }

  close(): void {
    this.readyState = 3;
  }

  ended(code: number): void {
    this.readyState = 3;
    this.onclose?.({ code, reason: "" });
  }

  says(frame: object, entries: readonly string[] = []): void {
    this.onmessage?.({ data: [JSON.stringify(frame), ...entries].join("\n") });
  }
}

export class Server {
  readonly sockets: Socket[] = [];
  readonly heard: Asked[] = [];
  readonly registers = new Map<string, Register>([[property, new Register()]]);
  readonly photos = new Map<string, number>(); // bytes had, by hash
  readonly asked: string[] = []; // over HTTP
  about: readonly Property[] = [{ id: property, name: "Stony Block" }];
  version = 2;
  limits = { entries: 300, bytes: 1 << 20 };
  down = false;
  silent = false;
  /** What it answers instead, to what it is asked. */
  odd: (asked: Asked) => object | undefined = () => undefined;
  receipt: (receipt: Receipt, entry: Entry) => Receipt = (receipt) => receipt;
  photo: (method: string, sha: string) => Response | undefined = () => undefined;

  get socket(): Socket {
    return this.sockets[this.sockets.length - 1]!;
  }

  count(type: string): number {
    return this.heard.filter((asked) => asked.type === type).length;
  }

  of(id: string): Register {
    return this.registers.get(id)!;
  }

  hear(socket: Socket, text: string): void {
    const [head = "", ...entries] = text.split("\n");
    const asked = JSON.parse(head) as Asked;
    this.heard.push({ ...asked, entries: asked.type === "push" ? entries : asked["entries"] });
    const odd = this.odd(asked);
    if (odd) return socket.says(odd);
    const id = String(asked["property"]),
      register = this.registers.get(id);
    switch (asked.type) {
      case "hello":
        return socket.says({
          type: "welcome",
          version: this.version,
          device: asked["device"],
          clockMS: Date.now(),
          properties: [...this.registers.keys()],
          epoch: "",
          limits: this.limits,
          about: this.about,
        });
      case "begin":
        this.registers.set(id, new Register());
        this.about = [...this.about, { id, name: String(asked["name"]), begun: true }];
        return socket.says({ type: "begun", property: { id, name: asked["name"], begun: true } });
      case "push": {
        const receipts = entries.map((entry) => {
          const said = this.receipt({ id: read(entry).id, highSeq: read(entry).deviceSeq }, read(entry));
          return said.refused || said.cloned ? said : { ...register!.take(entry)[0]!, highSeq: said.highSeq };
        });
        return socket.says({ type: "receipts", push: asked["push"], property: id, receipts });
      }
      case "missing": {
        const has = new Set(register?.texts.map((entry) => read(entry).id));
        return socket.says({ type: "lacks", property: id, ids: (asked["ids"] as string[]).filter((one) => !has.has(one)) });
      }
      case "pull":
        return this.#pull(
          socket,
          id,
          register!,
          asked["at"] as { epoch: string; n: number; hash: string } | undefined,
          Number(asked["entries"]),
        );
    }
  }

  #pull(socket: Socket, id: string, register: Register, at: { n: number; hash: string } | undefined, each: number): void {
    const from = at?.n ?? 0;
    if (at && (from > register.texts.length || register.at(from).hash !== at.hash)) {
      return socket.says({ type: "forked", property: id, marks: [register.at(), register.at(0)] });
    }
    for (let after = from; ; after += each) {
      const to = Math.min(after + each, register.texts.length);
      const { entries, ...page } = register.page(after, to);
      socket.says({ type: "page", property: id, ...page, last: register.texts.length, more: to < register.texts.length }, entries);
      if (to === register.texts.length) return;
    }
  }

  /** Photos by parts, as sync/photo has them. */
  async fetch(address: string, how: { method: string; body?: ArrayBuffer | null; headers: { [name: string]: string } }): Promise<Response> {
    const sha = address.split("/").pop()!;
    this.asked.push(`${how.method} ${sha}`);
    const odd = this.photo(how.method, sha);
    if (odd) return odd;
    if (how.method === "PATCH") {
      this.photos.set(sha, (this.photos.get(sha) ?? 0) + how.body!.byteLength);
      if (createHash("sha256").update(new Uint8Array(how.body!)).digest("hex") !== sha) return new Response(null, { status: 422 });
    }
    const has = this.photos.get(sha) ?? 0;
    return new Response(null, { headers: { "Upload-Offset": String(has), "Upload-Complete": has > 0 ? "?1" : "?0" } });
  }
}

/** What pages open a connection with, and come to this server. */
export const socketOf = (server: Server) =>
  Object.assign(
    function (this: unknown) {
      return new Socket(server);
    },
    { OPEN: 1 },
  );

/** Runs a test on an enrolled phone that talks with a server. */
export function onLine(
  job: (phone: Phone, server: Server, sync: Sync) => Promise<void>,
  prepare: (phone: Phone, server: Server) => void = () => undefined,
  on: { readonly clock?: Clock; readonly chance?: number } = {},
): Promise<void> {
  return onPhone(async (phone) => {
    const server = new Server();
    prepare(phone, server);
    await withGlobals(
      {
        ...on.clock?.globals,
        WebSocket: socketOf(server),
        fetch: (address: string, how: Parameters<Server["fetch"]>[1]) => server.fetch(address, how),
      },
      async () => {
        const store = await phone.open();
        await store.enrol({ device: "phone-1", token: "t1", author: "R. Field", properties: [{ id: property, name: "Stony Block" }] });
        const sync = new PhoneSync(store, { chance: () => on.chance ?? 0 });
        const running = sync.run();
        try {
          await job(phone, server, sync);
        } finally {
          sync.close();
          await running;
          await on.clock?.end();
        }
      },
    );
  });
}
