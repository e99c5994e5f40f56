// Written by go generate ./viewer/typing from the schemas of model/compute.

// staff-reading: what to read on the staff to set out a level

export interface Input {
  /** [m] level of the line of sight: level of the backsight point plus its reading */
  instrumentLevelM: number;
  /** [m] level to set out, on the same datum */
  targetLevelM: number;
  /** [m] longest reading of the staff; 5 if not given */
  staffLengthM?: number | null;
  /** [m] what was read where the staff stands now */
  readM?: number | null;
}

export interface Output {
  /** [m] reading that puts the foot of the staff on the target level */
  readingM: number;
  /** [m] level where the staff stands now, if readM was given */
  levelM?: number;
  /** [m] how far that is above the target; minus is below */
  offM?: number;
  /** which way to move the staff */
  move?: string;
}
