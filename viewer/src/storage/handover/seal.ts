// Seals what a phone hands over, so that the office knows that the phone wrote it; sync/handover
// says what a seal is. It shows nothing of the phone's secret.

import { hexOf, sha256 } from "../hash.ts";

const utf8 = new TextEncoder();

/** Seals entries of this phone, and properties begun on it. */
export interface Sealer {
  entry(property: string, text: string): Promise<string>;
  begun(id: string, name: string): Promise<string>;
}

/** Null when the secret is not at hand, as where the phone's store is damaged: the office then takes the file in as handed in. */
export async function sealerOf(token: string): Promise<Sealer | null> {
  if (token === "" || !globalThis.crypto?.subtle) return null;
  const key = await crypto.subtle.importKey("raw", await sha256(utf8.encode(token)), { name: "HMAC", hash: "SHA-256" }, false, ["sign"]);
  const seal = async (text: string) => hexOf(new Uint8Array(await crypto.subtle.sign("HMAC", key, utf8.encode(text))));
  return {
    entry: (property, text) => seal(`headcut hand-over 2\n${property}\n${text}`),
    begun: (id, name) => seal(`headcut hand-over 2, begun\n${id}\n${name}`),
  };
}
