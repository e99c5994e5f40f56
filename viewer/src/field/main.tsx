import { boot } from "./app/boot.tsx";
import { parts } from "./app/built.ts";
import { isRescue } from "./handover/rescue.ts";

const root = document.getElementById("page");
if (root) {
  root.replaceChildren();
  if (isRescue()) void import("./handover/rescuing.tsx").then((m) => m.rescue(root));
  else boot(root, parts);
}
