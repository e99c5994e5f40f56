// Places for tests of lines, in metres from where they begin.

import type { Page } from "../../device/page.test.ts";

export const lon = 146.5,
  lat = -20.25;
/** So many metres from where the tests begin. */
export const at = (eastM: number, northM: number): [number, number] => [lon + eastM / 104_440, lat + northM / 110_700];
export const coordinates = (f: { fields: { [name: string]: unknown } } | undefined) =>
  (f!.fields["geometry"] as { coordinates: number[][] }).coordinates;
export const metresNorth = (c: readonly number[]) => Math.round((c[1]! - lat) * 110_700);
export const metresEast = (c: readonly number[]) => Math.round((c[0]! - lon) * 104_440);
/** The officer walks from one place to the next, five seconds to each. */
export const walk = async (page: Page, ...places: readonly (readonly [number, number])[]) => {
  for (const [east, north] of places) {
    await page.clock.pass(5000);
    await page.stand(...at(east, north), 4);
  }
};
