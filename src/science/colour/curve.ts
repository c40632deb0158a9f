/**
 * What a camera does to light on one channel: a rising function between linear light and code value.
 *
 * Light is in any one scale that the camera's channels share; code values are full range, 0 to 1.
 */
export interface Curve {
  /** For people: "BT.709", "learned from the chart". */
  readonly name: string;
  /**
   * How it is known: named by the file, learned from a chart's greys, recognised by them as a published one, or given
   * by a person.
   */
  readonly known: "tag" | "learned" | "recognised" | "given";
  /** Linear light of a code value. */
  readonly toLight: (code: number) => number;
  /** Code value of linear light. */
  readonly toCode: (light: number) => number;
}
