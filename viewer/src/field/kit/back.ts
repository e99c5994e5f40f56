// What the way back of a frame does. The page around the frames says so.

import { createContext } from "preact";

export const BackContext = createContext<() => void>(() => {});
