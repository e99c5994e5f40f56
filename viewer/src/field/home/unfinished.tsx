// A form that was open when the page was closed or killed: what was typed is still here.

import { useEffect, useState } from "preact/hooks";
import { useField } from "../field.ts";
import { openFormKey, type OpenForm } from "../mark/openform.ts";
import { kindNamed } from "../app/kinds.ts";

export function Unfinished() {
  const field = useField();
  const [form, setForm] = useState<OpenForm | undefined>();
  useEffect(() => {
    let here = true;
    field.shelf.draft<OpenForm>(openFormKey(field.property.id)).then((f) => here && setForm(f), () => {});
    return () => void (here = false);
  }, [field.property.id]);
  if (!form || Object.keys(form.values).length === 0) return null;
  return (
    <p class="caution">
      You were filling in a {kindNamed(form.kind).label.toLowerCase()}. What you typed is not saved yet.
      <a class="button wide" href={`#/thing/${form.feature}/edit`}>Go on with it</a>
    </p>
  );
}
