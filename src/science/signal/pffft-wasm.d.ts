/** The part of the FFT library that we call; see its own pffft.h for the meaning of each. */
declare module "@echogarden/pffft-wasm/simd" {
  export interface PffftModule {
    readonly HEAPF32: Float32Array;
    _pffft_new_setup(size: number, kind: 0 | 1): number;
    _pffft_destroy_setup(setup: number): void;
    _pffft_aligned_malloc(bytes: number): number;
    _pffft_aligned_free(pointer: number): void;
    _pffft_transform_ordered(
      setup: number,
      input: number,
      output: number,
      work: number,
      direction: 0 | 1,
    ): void;
    _pffft_transform(setup: number, input: number, output: number, work: number, direction: 0 | 1): void;
    _pffft_zconvolve_accumulate(setup: number, a: number, b: number, ab: number, scaling: number): void;
  }
  export default function load(): Promise<PffftModule>;
}
