/** v' C v for the block of a symmetric matrix (size x size, row-major) that begins at row and column `from`: a variance from a covariance and a gradient (JCGM 100:2008, 5.2). */
export function quadraticForm(c: Float64Array, size: number, v: ArrayLike<number>, from = 0): number {
  let sum = 0;
  for (let i = 0; i < v.length; i++) {
    if (v[i] === 0) continue;
    const at = (from + i) * size + from;
    let along = 0;
    for (let j = 0; j < v.length; j++) along += c[at + j] * v[j];
    sum += v[i] * along;
  }
  return sum;
}
