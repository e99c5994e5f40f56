// The screens of the desk page and the addresses under which they open.

import { type Params, type Route, rowAt } from "../../base/route.ts";
import type { Screen } from "../context/desk.ts";
import { ItemsScreen } from "../items/itemsscreen.tsx";
import { PropertiesScreen } from "../properties/propertiesscreen.tsx";

interface ScreenRow extends Route {
  readonly screen: Screen;
}

const screens: readonly ScreenRow[] = [
  { route: "#/", screen: PropertiesScreen },
  { route: "#/property/:id", screen: ItemsScreen },
  { route: "#/property/:id/:item", screen: ItemsScreen },
  { route: "#/property/:id/:item/:photo", screen: ItemsScreen },
];

export const screenAt = (address: string): { row: ScreenRow; params: Params } => rowAt(address, screens);
