import { fitAt, lightShared } from "../locate.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";

/** A slit as dark as those about it would show by so many times the noise there; of that, less than this share is seen. */
const WOULD_SHOW = 8;
const SHOWS = 0.25;

/**
 * Whether a slit is not in the place where all cuts together expect it, though it would show there: the knife was elsewhere. Print that is as dark as the slit hides it, and so does
 * artwork that makes the profile noisy: neither says so.
 *
 * @param darkness of the slits about it, a share of the ground's light.
 */
export function isMissing(chunk: Chunk, grid: StripGrid, at: number, darkness: number, width: number): boolean {
  const fit = fitAt(chunk, grid, "line", at, width);
  if (!fit) return false;
  const expected = darkness * lightShared(fit.ground);
  return Math.abs(expected) > (WOULD_SHOW * Math.abs(fit.amplitude)) / fit.significance && fit.amplitude / expected < SHOWS;
}
