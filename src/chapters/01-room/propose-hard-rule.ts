/** What no proposal may do, by code: each rule's name as a sentence. */
export const hardRules = {
  inside: "Everything stands inside the room",
  furniture: "Everything is clear of the furniture",
  apart: "Nothing stands in anything else's place",
  way: "A way leads from the door to both chairs and to every camera",
  line: "All cameras are on one side of the line",
  frames: "No camera, stand, light, boom, rail or interviewer is in any frame",
  "close-focus": "Every lens can focus on the sitter",
  "shot-size": "Every camera has the shot wished for",
  kit: "Every lens is in the kit and on one camera",
  boom: "The boom hangs within reach, over the head and under the ceiling",
  rail: "The rail fits its slider and the room",
  sight: "Nothing stands between the sitter and a lens or a light",
  ceiling: "Every light fits under the ceiling and on its stand",
} as const;

/** A hard rule's code, as stored proposals name it. */
export type HardRule = keyof typeof hardRules;

/** Told of each breach: which rule, how far (metres, or a share of what is right), between what, and what helps. */
export type Tell = (rule: HardRule, amount: number, says: () => string, remedy: string) => void;
