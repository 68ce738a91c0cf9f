/** A source of pseudo-random numbers. Everything that is drawn takes one, so that a seed fixes a picture to the last bit. */
export interface Random {
  /** Uniform in [0, 1). */
  next(): number;
  /** Uniform between two bounds. */
  between(low: number, high: number): number;
  /** Whole number from low to high, both included. */
  whole(low: number, high: number): number;
  /** Standard normal. */
  normal(): number;
  /** True with the given probability. */
  chance(probability: number): boolean;
  /** One of the values. */
  pick<T>(values: readonly T[]): T;
  /** An independent source: what is drawn from it does not move this one by more than one step. */
  fork(): Random;
}

/**
 * xoshiro128** 1.1 (D. Blackman and S. Vigna, 2018, public domain), its state filled by splitmix32. Period 2^128 - 1.
 */
export function randomOf(seed: number): Random {
  const [a, b, c, d] = splitmix(seed, 4);
  let s0 = a, s1 = b, s2 = c, s3 = d;
  const bits = (): number => {
    const result = Math.imul(rotl(Math.imul(s1, 5), 7), 9);
    const t = s1 << 9;
    s2 ^= s0;
    s3 ^= s1;
    s1 ^= s2;
    s0 ^= s3;
    s2 ^= t;
    s3 = rotl(s3, 11);
    return result >>> 0;
  };
  const next = (): number => bits() / 4294967296;
  return {
    next,
    between: (low, high) => low + (high - low) * next(),
    whole: (low, high) => low + Math.floor((high - low + 1) * next()),
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    chance: (probability) => next() < probability,
    pick: (values) => values[Math.floor(values.length * next())],
    fork: () => randomOf(bits()),
  };
}

/** A seed for one item of a series (a row's picture, a run's sheet), so that any item can be drawn alone. */
export function seedOf(...parts: readonly number[]): number {
  return parts.reduce((seed, part) => splitmix((seed ^ Math.imul(part | 0, 0x9e3779b1)) | 0, 1)[0] >>> 0, 0x6b65726d);
}

function rotl(x: number, k: number): number {
  return (x << k) | (x >>> (32 - k));
}

function splitmix(seed: number, count: number): number[] {
  let state = seed | 0;
  return Array.from({ length: count }, () => {
    state = (state + 0x9e3779b9) | 0;
    let z = state;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return (z ^ (z >>> 16)) | 0;
  });
}
