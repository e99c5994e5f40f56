// What to peg, with the set-up of which book.

import type { Params } from "../context/field.ts";
import { Frame } from "../../ui/frame.tsx";
import { Cautions, dangers } from "../part/cautions.tsx";

export function PegTasks({ params }: { params: Params }) {
  const id = params["book"]!;
  return (
    <Frame title="Peg out">
      <p>What do you want to peg?</p>
      <nav class="tasks" aria-label="What to peg">
        <a class="button wide" href={`#/peg/dams/${id}`}>
          Check dams, toe by toe
        </a>
        <a class="button wide" href={`#/peg/contour/${id}`}>
          A contour: rip line or windrow
        </a>
        <a class="button wide" href={`#/peg/whoa-boys/${id}`}>
          Whoa-boys down a track
        </a>
        <a class="button wide" href={`#/level/${id}`}>
          Back to the level book
        </a>
      </nav>
      <Cautions of={dangers.gully} />
    </Frame>
  );
}
