declare module "@echogarden/espeak-ng-emscripten" {
  /** Starts the synthesiser; resolves to its classes. */
  const load: () => Promise<unknown>;
  export default load;
}
