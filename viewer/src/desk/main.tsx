import { boot } from "./shell/boot.tsx";

const root = document.getElementById("page");
if (root) {
  root.replaceChildren();
  boot(root);
}
