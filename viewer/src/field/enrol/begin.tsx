// Begins a property with no signal: a name, and everything can be recorded on it at once.

import { useState } from "preact/hooks";
import { useApp } from "../context/app.ts";
import { type Params, useField } from "../context/field.ts";
import { Button } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { TextInput } from "../../ui/input.tsx";
import { Trouble } from "../../ui/panel.tsx";
import { useSaving } from "../part/usesaving.ts";

export function BeginProperty(_: { params: Params }) {
  const field = useField();
  const { tell } = useApp();
  const [name, setName] = useState("");
  const { failed, fail, busy, save } = useSaving();
  const begin = () =>
    save(async () => {
      const property = await field.store.beginProperty(name);
      tell({ do: "property", property });
      field.say(`${property.name} begun`);
      field.go("#/");
    });
  return (
    <Frame
      title="Begin a property"
      actions={
        <Button rank="main" wide disabled={busy} press={() => void begin()}>
          Begin
        </Button>
      }
    >
      <TextInput
        label="Name of the property"
        required
        value={name}
        change={(typed) => {
          setName(typed);
          fail(null);
        }}
        hint="As the landholder calls it. The office can change it."
      />
      {failed && <Trouble {...failed} />}
      <p>
        It needs no signal. Everything can be recorded at once. It goes to the office with the rest; until the office accepts it, only this
        phone and the office see it.
      </p>
    </Frame>
  );
}
