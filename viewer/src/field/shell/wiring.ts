// The page as it is built: a device and the phone's receiver.

import { wired } from "../../device/wiring.ts";
import { receiver } from "../../sensor/receiver.ts";
import type { Dependencies } from "../context/dependencies.ts";

export const dependencies: Dependencies = { ...wired(), fixes: receiver() };
