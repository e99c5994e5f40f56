// A device keeps what is recorded by address: under another address of the same server it
// finds nothing, and what was not sent seems to be lost. This says where to look.

import { useEffect, useState } from "preact/hooks";
import { device, pageAddress } from "../base/page.ts";

interface Addresses {
  readonly address?: string; // the server's present one
  readonly earlier: readonly string[];
}

/** The other addresses under which this device may have entries, the present one first. */
export function others({ address, earlier }: Addresses, here: string): readonly string[] {
  return [...(address ? [address] : []), ...earlier].filter((other) => other !== here);
}

/** byLink: the officer came by the office's own link, so that only another address that is known is worth words. */
export function Elsewhere({ byLink = false }: { byLink?: boolean }) {
  const [where, setWhere] = useState<readonly string[]>([]);
  useEffect(() => {
    fetch(`${pageAddress}addresses.json`, { cache: "no-store" })
      .then((answer) => (answer.ok ? (answer.json() as Promise<Addresses>) : { earlier: [] }))
      .then((told) => setWhere(others(told, location.origin)))
      .catch(() => {}); // no signal: the words below hold without it
  }, []);
  if (byLink && where.length === 0) return null;
  return (
    <div class="stack">
      <p class={where.length > 0 && !byLink ? undefined : "soft"}>
        {where.length > 0 && !byLink && "There is no data here. Is this the right address? "}
        {already}
      </p>
      {where.length > 0 && (
        <ul class="stack">
          {where.map((address) => (
            <li key={address}>
              <a class="button wide" href={`${address}${pageAddress}`}>
                Open {address.replace(/^https?:\/\//, "")}
              </a>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

const already = `If this ${device} recorded anything under another address, it is still there; open that address to see it.`;
