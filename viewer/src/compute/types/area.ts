// Written by go generate ./viewer/typing from the schemas of model/compute.

// area: area and perimeter of ground inside a boundary, with holes, on the WGS84 ellipsoid

export interface Input {
  /** [deg] closed rings of longitude and latitude, WGS84: the boundary, then the holes; wound either way */
  rings: [number, number][][];
  /** [m] one standard deviation of a position along any direction; the receiver's own accuracy, for want of better */
  accuracyM?: number | null;
  /** how the positions came about; GPS if not given */
  basis?: "levelled" | "taped" | "GPS" | "drawn on the map" | "estimated" | "from plan" | "not recorded" | "unproven" | null;
}

export interface Output {
  /** [m2] inside the boundary less the holes, on the ellipsoid */
  areaM2: number;
  /** [m] round the boundary and every hole */
  perimeterM: number;
  /** [m2] one standard deviation of areaM2; none without an accuracy */
  plusMinusM2?: number;
  /** [m] one standard deviation of perimeterM; none without an accuracy */
  perimeterPlusMinusM?: number;
  /** what the area comes from */
  basis: string;
}
