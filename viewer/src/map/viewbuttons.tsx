// The buttons that move a map, for those who do not drag it.

export function ViewButtons({ zoomBy, fitAll }: { zoomBy: (steps: number) => void; fitAll: () => void }) {
  return (
    <>
      <MapButton label="Zoom in" path="M12 4v16M4 12h16" press={() => zoomBy(1)} />
      <MapButton label="Zoom out" path="M4 12h16" press={() => zoomBy(-1)} />
      <MapButton label="Show the whole property" path="M3 9V3h6M15 3h6v6M21 15v6h-6M9 21H3v-6" press={fitAll} />
    </>
  );
}

export function MapButton({
  label,
  path,
  press,
  disabled = false,
}: {
  label: string;
  path: string;
  press: () => void;
  disabled?: boolean;
}) {
  return (
    <button type="button" aria-label={label} onClick={press} disabled={disabled}>
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path d={path} />
      </svg>
    </button>
  );
}
