import { render } from "preact";

const root = document.getElementById("page");
if (root) {
  root.replaceChildren();
  render(<p role="status">Opening…</p>, root);
}
