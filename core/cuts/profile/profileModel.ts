/** Light across a feature, at (i - half) * step mm, of odd length, seen everywhere, with the noise (standard deviation) of a sample. */
export interface Profile {
  readonly profile: Float64Array;
  readonly noise: number;
}

/**
 * What lies across a cut, linear in its light: a feature (a slit, an edge) of some height at some place, and what may lie beside it. Column HEIGHT is the feature itself, PLACE its
 * derivative by the place; the others are what else may be seen. Several profiles of one feature, of one length, share the coefficients of all columns but the last ones.
 */
export interface ProfileModel {
  /** Fills `row` with the columns at t mm from the feature's place. */
  columnsAt(t: number, row: Float64Array): void;
  /** By what each column counts in each profile (default 1). */
  readonly factors?: readonly Float64Array[];
  /** Standard deviation of each column's coefficient before the picture is seen; that of PLACE is MOST_SHIFT times a height of one. */
  readonly priors: Float64Array;
  /** The mean of each coefficient before the picture is seen (default 0); that of HEIGHT and PLACE is 0. */
  readonly means?: Float64Array;
  /** A column of the feature's own shape that takes from its height, in each profile by its factor (default: none). */
  readonly takes?: number;
  /** The model about a feature broader by so much, mm, on each side, for the height it was found to have, where column COMMON is its derivative by that (default: none is); itself where its column tells so little as well. */
  broadened?(by: number, height: number): ProfileModel;
  /** So many of the last columns have coefficients of their own in each profile: its ground and slope. */
  readonly own: number;
}
export const HEIGHT = 0;
export const PLACE = 1;
/** Columns that every model has. */
export const COMMON = 2;

/** Where a feature lies under a profile that is the mean of many. */
export interface ProfilePlace {
  /** mm from the profile's middle. */
  readonly shift: number;
  /** Its standard uncertainty, mm: the profile's own noise, and what else may be seen and cannot be told from a displacement. */
  readonly sigma: number;
  /** Sum of squares that the best model leaves over its expectation. */
  readonly excess: number;
  /** What the likeliest model leaves of each profile. */
  rest(): readonly (readonly number[])[];
}

/** The feature lies within this of the profile's middle, mm (common practice, no source). */
export const MOST_SHIFT = 0.4;
