import type { ChapterName } from "#documents/chapter-results";

/** The ten chapters in the order of the job, as the spine numbers them. */
export interface ChapterPlace {
  readonly number: number;
  readonly id: "day" | ChapterName;
  readonly name: string;
}

export const before: readonly ChapterPlace[] = [
  { number: 1, id: "room", name: "Room" },
  { number: 2, id: "kit", name: "Kit" },
  { number: 3, id: "day", name: "Day" },
];

export const after: readonly (ChapterPlace & { readonly id: ChapterName })[] = [
  { number: 4, id: "cards", name: "Cards" },
  { number: 5, id: "clock", name: "Clock" },
  { number: 6, id: "watch", name: "Watch" },
  { number: 7, id: "voice", name: "Voice" },
  { number: 8, id: "colour", name: "Colour" },
  { number: 9, id: "story", name: "Story" },
  { number: 10, id: "handover", name: "Handover" },
];
