import { boot } from "./shell/boot.tsx";
import { dependencies } from "./shell/wiring.ts";
import { isRescue } from "./part/rescue.ts";

const root = document.getElementById("page");
if (root) {
  root.replaceChildren();
  if (isRescue()) void import("./handover/rescuing.tsx").then((m) => m.rescue(root));
  else boot(root, dependencies);
}
