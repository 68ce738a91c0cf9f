/**
 * Room for numbers that only one step of the work needs at a time, made once and used again. What is made anew for each mark counts with the picture's own memory, and has the garbage collector
 * go over the whole heap at every other picture.
 */
export class Room {
  private numbers = new Float64Array(0);

  /** Room for so many numbers, of any value, until the next call. */
  of(length: number): Float64Array {
    if (this.numbers.length < length) this.numbers = new Float64Array(length);
    return this.numbers.subarray(0, length);
  }
}
