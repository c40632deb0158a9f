/*
 * Typed arrays on memory that all threads of a process see: handed to another thread, they are not copied.
 * Of use where no one writes any more.
 */

/** `length` zeros. */
export function sharedFloats(length: number): Float32Array {
  return new Float32Array(new SharedArrayBuffer(4 * length));
}

/** `length` zeros, 16 bits each. */
export function sharedShorts(length: number): Int16Array {
  return new Int16Array(new SharedArrayBuffer(2 * length));
}

/** `length` zeros in double precision. */
export function sharedDoubles(length: number): Float64Array {
  return new Float64Array(new SharedArrayBuffer(8 * length));
}
