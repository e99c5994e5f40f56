// An arrow to somewhere by its compass bearing: north up, until the phone says which way it points.

interface BearingArrowProps {
  readonly bearingDeg: number | undefined; // from true north; undefined for a ring: here, as near as GPS can tell
  readonly headingDeg: number | undefined; // of the phone
}

/** Words beside it say the same. */
export function BearingArrow({ bearingDeg, headingDeg = 0 }: BearingArrowProps) {
  const turn = (deg: number) => `rotate(${Math.round(deg - headingDeg)} 24 24)`;
  return (
    <svg viewBox="0 0 48 48" aria-hidden="true">
      <path d="M20 9V1l8 8V1" class="north" transform={turn(0)} />
      {bearingDeg === undefined ? (
        <path d="M24 16a8 8 0 1 0 .1 0" />
      ) : (
        <path d="M24 13l10 27-10-6-10 6z" transform={turn(bearingDeg)} class="arrowhead" />
      )}
    </svg>
  );
}
