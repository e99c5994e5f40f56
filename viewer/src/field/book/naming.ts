// How the page calls a thing that may have no name.

import { kindNamed } from "../app/kinds.ts";
import type { Feature } from "../entry.ts";
import { kindOf, textOf } from "../entry.ts";

export const nameOf = (f: Feature): string => textOf(f, "name") || kindNamed(kindOf(f)).label;
