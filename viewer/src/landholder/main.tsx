import { render } from "preact";
import { landInPage, linkAddress } from "./ask.ts";
import { Page } from "./page.tsx";
import { drawAfterPresses } from "../ui/press.ts";

const root = document.getElementById("page");
if (root) {
  root.replaceChildren();
  drawAfterPresses();
  render(<Page link={linkAddress(location.pathname)} came={landInPage(document.getElementById("land"))} />, root);
}
