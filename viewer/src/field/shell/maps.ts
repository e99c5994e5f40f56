// The screens with a map, loaded with its library and not before.

export { LineScreen } from "../line/linescreen.tsx";
export { ReshapeScreen } from "../line/reshapescreen.tsx";
export { MapScreen } from "../map/mapscreen.tsx";
