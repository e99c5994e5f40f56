// The service worker of a device's page: it keeps the page's files on the device, so that
// the page opens with no signal. It touches nothing that the officer recorded, sends
// nothing, and answers only for the page's own files; all else goes to the network as if
// it were not there.
//
// A new version is fetched beside the one in use and then waits. Neither closing the page
// nor an empty battery makes it take over: only the officer's tap does (install.ts).

import { pageAddress } from "../base/page.ts";
import { dropOthers, fill, find, give, given, missing } from "./kept.ts";
import type { Asked, WorkerScope, Which } from "./scope.ts";

const worker = globalThis as unknown as WorkerScope & { readonly location: Location };
const { version } = worker.shelved;

worker.addEventListener("install", (event) => {
  event.waitUntil(fill(worker.shelved).then(() => dropOthers(version)));
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      if ((await given()) !== undefined) return; // it waits for the officer
      await give(version);
      // The page that is open came from the network just now; its later parts may be
      // needed where there is none.
      await worker.clients.claim();
    })(),
  );
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== worker.location.origin) return;
  if (isOurs(address.pathname)) event.respondWith(address.searchParams.has("kept") ? keptOnly(address) : answer(request, address));
});

/** The page's own files. A page that was opened with an older version asks for them under /assets/. */
function isOurs(path: string): boolean {
  return (
    path === pageAddress ||
    path === `${pageAddress}manifest.webmanifest` ||
    path.startsWith(`${pageAddress}assets/`) ||
    path.startsWith("/assets/")
  );
}

/** What is on the phone, and nothing else: by this the page finds out whether it works with no signal. */
async function keptOnly(address: URL): Promise<Response> {
  const kept = await find(address);
  if (!kept) return new Response(null, { status: 504 });
  return new Response(kept.body, { headers: kept.headers }); // a new one, whose address is the one asked for
}

async function answer(request: Request, address: URL): Promise<Response> {
  return (await find(address)) ?? fetch(request);
}

worker.addEventListener("message", (event) => {
  const asked = event.data as Asked;
  const port = event.ports[0];
  event.waitUntil(
    (async () => {
      if (asked === "take over") {
        await give(version);
        await worker.skipWaiting();
      }
      if (asked === "fetch again" && [undefined, version].includes(await given())) {
        await fill(worker.shelved).then(
          () => give(version),
          () => undefined,
        ); // no signal
      }
      port?.postMessage({ missing: await missing(), brought: version, given: (await given()) ?? version } satisfies Which);
    })(),
  );
});
