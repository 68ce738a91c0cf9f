/** Between four values, of the upper left, upper right, lower left and lower right pixel, at the shares fx and fy of the way from the first. */
export function bilinear(upperLeft: number, upperRight: number, lowerLeft: number, lowerRight: number, fx: number, fy: number): number {
  return (upperLeft * (1 - fx) + upperRight * fx) * (1 - fy) + (lowerLeft * (1 - fx) + lowerRight * fx) * fy;
}
