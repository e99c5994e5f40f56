// A form that was open when the page was closed or killed: what was typed is still here.

import { kindNamed } from "../app/kinds.ts";
import type { OpenForm } from "../mark/openform.ts";

export function Unfinished({ form }: { form: OpenForm }) {
  return (
    <p class="caution">
      You were filling in a {kindNamed(form.kind).label.toLowerCase()}. What you typed is not saved yet.
      <a class="button wide" href={`#/thing/${form.feature}/edit`}>Continue</a>
    </p>
  );
}
