// What to mind where people walk about in a gully with a staff.

import { Caution } from "../kit/part.tsx";

export function GullyCautions() {
  return (
    <>
      <Caution>Stay off and out from under undercut walls, and back from cracks along the rim: such walls fall without warning.</Caution>
      <Caution>Works in a watercourse may need a permit, and services or heritage may lie below: ask before anyone digs.</Caution>
      <Caution>Sight back on the benchmark before you leave the set-up: nothing here notices a level that was knocked.</Caution>
    </>
  );
}

export function SlopeCautions() {
  return (
    <>
      <Caution>Keep machines and people back from gully rims, undercut walls and cracked ground.</Caution>
      <Caution>Clearing and earthworks may need a permit: ask before the machine comes.</Caution>
      <Caution>Sight back on the benchmark before you leave the set-up: nothing here notices a level that was knocked.</Caution>
    </>
  );
}
