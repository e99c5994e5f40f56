// What the rest of the page uses of the phone's store.

export { openShelf, type PhoneShelf, type ShelfOptions } from "./shelf.ts";
export type { Folded, Gather, Unfolded } from "./folded.ts";
export type { Room } from "./room.ts";
export { newID } from "./uuid.ts";
export { steps, type Step } from "./schema.ts";
