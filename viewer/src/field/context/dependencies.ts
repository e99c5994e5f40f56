// What the field page is put together from: a device, and the receiver. The shell is given
// them, so that it can be tested with others.

import type { DeviceDependencies } from "../../device/device.ts";
import type { Receiver } from "../../sensor/receiver.ts";

export interface Dependencies extends DeviceDependencies {
  readonly fixes: Receiver;
}
