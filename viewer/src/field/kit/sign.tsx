// A sign beside or in the place of a word, drawn in the colour of the writing.

/** A path in a 24 by 24 box. */
export function Sign({ path }: { path: string }) {
  return <svg class="sign" viewBox="0 0 24 24" aria-hidden="true"><path d={path} /></svg>;
}

export const cameraPath = "M3 8h5l2-3h4l2 3h5v11H3zM9 13a3 3 0 1 0 6 0 3 3 0 1 0-6 0";
