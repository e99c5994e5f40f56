// The page as it is built: the phone's own database, receiver, link and computations.

import { receiver } from "../place/fixes.ts";
import { openLink } from "../link/link.ts";
import { openShelf } from "../shelf/shelf.ts";
import { install } from "../worker/install.ts";
import { inTime } from "./intime.ts";
import { WorkerModel } from "./model.ts";
import { KeptSheets } from "./sheets.ts";
import type { Parts } from "./parts.ts";

const model = new WorkerModel();

export const parts: Parts = {
  openShelf: () => inTime(openShelf({ gather: (features) => model.gather(features) })),
  link: (shelf) => openLink(shelf),
  install,
  fixes: receiver(),
  model,
  sheets: new KeptSheets(model),
};
