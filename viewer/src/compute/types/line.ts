// Written by go generate ./viewer/typing from the schemas of model/compute.

// line: length of a line of positions on the WGS84 ellipsoid, and of each segment

export interface Input {
  /** [deg] longitude and latitude of each position, WGS84, in order along the line */
  positions: [number, number][];
  /** [m] one standard deviation of a position along any direction; the receiver's own accuracy, for want of better */
  accuracyM?: number | null;
  /** how the positions came about; GPS if not given */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
}

export interface Output {
  /** [m] along the surface of the ellipsoid; on a slope the ground is longer */
  lengthM: number;
  /** [m] from each position to the next */
  segmentsM: number[];
  /** [m] one standard deviation of lengthM; none without an accuracy */
  plusMinusM?: number;
  /** what the length comes from */
  basis: string;
}
