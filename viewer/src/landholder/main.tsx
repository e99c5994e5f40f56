import { render } from "preact";
import { landInPage, linkAddress } from "./ask.ts";
import { Page } from "./page.tsx";

const root = document.getElementById("page");
if (root) {
  root.replaceChildren();
  render(<Page link={linkAddress(location.pathname)} came={landInPage(document.getElementById("land"))} />, root);
}
