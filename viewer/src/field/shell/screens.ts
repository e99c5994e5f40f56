// The screens and the addresses under which they open. Those not needed at the start are loaded
// together when the first of them opens; the service worker has them.

import { ChooseProperty } from "../enrol/choose.tsx";
import { BeginProperty } from "../enrol/begin.tsx";
import { Load } from "../enrol/load.tsx";
import { Start } from "../enrol/start.tsx";
import { Home } from "../home/home.tsx";
import { FillIn } from "../form/fillin.tsx";
import { Mark } from "../form/mark.tsx";
import { Status } from "../status/status.tsx";
import { rowAt, type Params, type Route } from "../../base/route.ts";
import type { Screen } from "../context/field.ts";
import { Edit } from "../form/edit.tsx";
import { Thing } from "../item/thing.tsx";

export interface ScreenRow extends Route {
  readonly title: string;
  readonly load: () => Screen | Promise<Screen>;
}

const rest = () => import("./rest.ts");
const maps = () => import("./maps.ts");

export const screens: readonly ScreenRow[] = [
  { route: "#/", title: "Today", load: () => Home },
  { route: "#/load", title: "Loading", load: () => Load },
  { route: "#/start", title: "Properties", load: () => Start },
  { route: "#/property", title: "Properties", load: () => ChooseProperty },
  { route: "#/property/new", title: "Begin a property", load: () => BeginProperty },
  { route: "#/mark", title: "Mark", load: () => Mark },
  { route: "#/mark/:kind", title: "Mark", load: () => Mark },
  { route: "#/thing/:id", title: "Item", load: () => Thing },
  { route: "#/thing/:id/edit", title: "Edit", load: () => Edit },
  { route: "#/thing/:id/fill", title: "Item", load: () => FillIn },
  { route: "#/thing/:id/fill/:parts", title: "Item", load: () => FillIn },
  { route: "#/thing/:id/settle", title: "Settle", load: () => rest().then((m) => m.Settle) },
  { route: "#/line", title: "Line or area", load: () => rest().then((m) => m.ChooseLine) },
  { route: "#/line/:kind/:shape", title: "Line or area", load: () => maps().then((m) => m.LineScreen) },
  { route: "#/shape/:id", title: "Shape", load: () => maps().then((m) => m.ReshapeScreen) },
  { route: "#/map", title: "Map", load: () => maps().then((m) => m.MapScreen) },
  { route: "#/map/:thing", title: "Map", load: () => maps().then((m) => m.MapScreen) },
  { route: "#/photo", title: "Photo of what?", load: () => rest().then((m) => m.ChooseForPhoto) },
  { route: "#/photo/:feature", title: "Photos", load: () => rest().then((m) => m.Photo) },
  { route: "#/photo/:feature/again", title: "Camera", load: () => rest().then((m) => m.Camera) },
  { route: "#/photo/:feature/:sha", title: "Photo", load: () => rest().then((m) => m.View) },
  { route: "#/visit", title: "Visit", load: () => rest().then((m) => m.Visits) },
  { route: "#/visit/:of", title: "Visit", load: () => rest().then((m) => m.Visit) },
  { route: "#/level", title: "Level", load: () => rest().then((m) => m.Books) },
  { route: "#/level/:book", title: "Level book", load: () => rest().then((m) => m.Level) },
  { route: "#/level/:book/:along", title: "Level book", load: () => rest().then((m) => m.Level) },
  { route: "#/peg", title: "Peg out", load: () => rest().then((m) => m.PegBooks) },
  { route: "#/peg/for/:along", title: "Peg out", load: () => rest().then((m) => m.PegBooks) },
  { route: "#/peg/with/:book", title: "Peg out", load: () => rest().then((m) => m.PegTasks) },
  { route: "#/peg/dams/:book", title: "Next dam toe", load: () => rest().then((m) => m.DamScreen) },
  { route: "#/peg/dams/:book/:along", title: "Next dam toe", load: () => rest().then((m) => m.DamScreen) },
  { route: "#/peg/contour/:book", title: "Contour pegs", load: () => rest().then((m) => m.ContourScreen) },
  { route: "#/peg/whoa-boys/:book", title: "Whoa-boys", load: () => rest().then((m) => m.WhoaBoyScreen) },
  { route: "#/peg/whoa-boys/:book/:along", title: "Whoa-boys", load: () => rest().then((m) => m.WhoaBoyScreen) },
  { route: "#/peg/spacing", title: "Spacing table", load: () => rest().then((m) => m.SpacingScreen) },
  { route: "#/peg/local-table", title: "Local table", load: () => rest().then((m) => m.LocalTableScreen) },
  { route: "#/plan/:feature", title: "Plan", load: () => rest().then((m) => m.PlanScreen) },
  { route: "#/order", title: "What to do first", load: () => rest().then((m) => m.OrderScreen) },
  { route: "#/follow-up", title: "How works did", load: () => rest().then((m) => m.FollowUpScreen) },
  { route: "#/handover", title: "Save to a file", load: () => rest().then((m) => m.Handover) },
  { route: "#/status", title: "Sync status", load: () => Status },
];

export const screenAt = (address: string): { row: ScreenRow; params: Params } => rowAt(address, screens);
