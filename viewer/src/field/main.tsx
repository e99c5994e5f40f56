import { boot } from "./app/boot.tsx";
import { parts } from "./app/built.ts";

const root = document.getElementById("page");
if (root) {
  root.replaceChildren();
  boot(root, parts);
}
