import type { Link } from "../field.ts";

/** Stands where there is no way to the server: everything stays on the phone, and it says so. */
export const noLink = (): Link => ({
  state: () => ({ state: "never", lastSent: null, clockOffS: 0, words: "This page does not send yet.", loading: null }),
  watch: () => () => {},
  sendNow: () => {},
});
