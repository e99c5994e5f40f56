// What the rest of the page uses of the phone's store.

export { openStore, type PhoneStore, type StoreOptions } from "./phonestore.ts";
export type { Folded, Gather, Unfolded } from "../compute/fold.ts";
export { storageNow } from "./persistence.ts";
export { newID } from "../base/uuid.ts";
export { steps, type Step } from "./schema.ts";
