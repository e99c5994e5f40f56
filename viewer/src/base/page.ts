// Which page of an officer's device this is: the field page on a phone, or the desk page on a
// computer. A browser keeps things by origin, and one may have both: each names what it keeps
// after itself, so that neither meets what is the other's.

/** The bundler says it, true in the scripts of the desk page; nobody does in node. */
declare const DESK: boolean | undefined;

const desk = typeof DESK !== "undefined" && DESK;

/** Where the page lies on the server, and all of its files below it. */
export const pageAddress = desk ? "/desk/" : "/field/";

/** What the page runs on, as its sentences call it. */
export const device = desk ? "computer" : "phone";

/** How the names of its database, notes and locks begin. */
export const storeName = desk ? "headcut-desk" : "headcut";

/** How the names of the caches of its own files and of small photos begin. */
export const cachePrefix = desk ? "desk-" : "";
