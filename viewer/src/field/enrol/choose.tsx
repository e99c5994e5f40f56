// Which property the officer works on today.

import type { Params } from "../app/screens.ts";
import { useApp } from "../app/shell.tsx";
import { useField } from "../field.ts";
import { Button } from "../kit/button.tsx";
import { Frame } from "../kit/frame.tsx";

export function ChooseProperty(_: { params: Params }) {
  const field = useField();
  const { state, tell } = useApp();
  return (
    <Frame title="Which property?">
      <div class="stack">
        {state.self?.properties.map((property) => (
          <Button key={property.id} wide pressed={property.id === field.property.id} press={() => (tell({ do: "property", property }), field.go("#/load"))}>
            {property.name}
          </Button>
        ))}
      </div>
    </Frame>
  );
}
