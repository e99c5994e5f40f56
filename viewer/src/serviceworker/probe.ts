// Whether the page would work with no signal, tried and not guessed: its own files and its
// computations, each asked of the phone alone. The server refuses such a request, so an answer
// can only have come from the files that are kept.

import { device, pageAddress } from "../base/page.ts";
import { loadInWorker } from "../compute/remote.ts";

/** "" when the page opens and computes from the kept files; else why not. */
export async function probeOffline(): Promise<string> {
  try {
    const page = await kept(pageAddress);
    const parts = [...page.matchAll(/ (?:src|href)="(\/(?:field|desk)\/[^"?]+)"/g)].map(([, address]) => address!);
    if (parts.length === 0) return `The page that is kept on this ${device} cannot be read.`;
    await Promise.all(parts.map(kept));
    await computed();
    return "";
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

async function kept(address: string): Promise<string> {
  const response = await fetch(`${address}?kept`);
  if (!response.ok) throw new Error(`${address} is not on this ${device}.`);
  return response.text();
}

/** Runs the program in a worker of its own: the staff for a level of 100.407 under a line of sight at 101.842, and a fold. */
async function computed(): Promise<void> {
  const remote = await loadInWorker(true).catch(() => {
    throw new Error(`The computations are not on this ${device}.`);
  });
  try {
    const staff = await remote.compute("staff-reading", { instrumentLevelM: 101.842, targetLevelM: 100.407 });
    const folded = await remote.gather({ features: [] });
    if (!staff.ok || Math.abs(staff.output.readingM - 1.435) > 1e-9 || !folded.ok)
      throw new Error(`The computations on this ${device} do not answer.`);
  } finally {
    remote.stop();
  }
}
