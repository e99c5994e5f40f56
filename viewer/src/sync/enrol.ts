// Asking the server for a place on its list of devices.

import type { Problem } from "../base/problem.ts";
import { sentence } from "../base/words.ts";
import type { Asking, Self } from "../storage/store.ts";

interface Granted {
  readonly token?: unknown;
  readonly device?: unknown;
  readonly author?: unknown;
  readonly properties?: unknown;
}

/** Redeems a code; the same asked again is granted again. Throws a Problem in words for the officer. */
export async function askToEnrol({ code, device, token, former }: Asking, author: string): Promise<Self> {
  let answer: Response;
  try {
    answer = await fetch("/enrol", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ code, device, token, author, former }),
    });
  } catch {
    throw problem(undefined, "The server does not answer.", "Enrol where there is signal. After that the page works without.");
  }
  const said = (await answer.json().catch(() => ({}))) as Granted & Partial<Problem>;
  if (!answer.ok)
    throw problem(
      said.path,
      said.reason ? sentence(said.reason) : `The server answered ${answer.status}.`,
      said.fix ? sentence(said.fix) : "Try again in a minute.",
    );
  const properties = Array.isArray(said.properties) ? (said.properties as Self["properties"]) : [];
  if (said.token !== token || said.device !== device || properties.length === 0) {
    throw problem(undefined, "The server's answer cannot be read.", "Ask the office whether this is the register's address.");
  }
  return { device, token, author: typeof said.author === "string" && said.author ? said.author : author, properties };
}

const problem = (path: string | undefined, reason: string, fix: string): Problem => ({ ...(path && { path }), reason, fix });
