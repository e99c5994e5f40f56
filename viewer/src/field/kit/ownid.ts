// An id for a label and its field. Preact's own useId starts from nought again whenever the
// page is drawn again from its root, and so gives one id to several fields.

import { useState } from "preact/hooks";

let given = 0;

export function useOwnID(): string {
  return useState(() => `field-${++given}`)[0];
}
