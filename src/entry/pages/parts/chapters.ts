import type { ChapterName } from "#documents/chapter-results";

/** The ten chapters in the order of the job, as the spine numbers them. */
export interface ChapterPlace {
  readonly number: number;
  readonly id: "room" | "kit" | "day" | ChapterName;
  readonly name: string;
}

export const before: readonly (ChapterPlace & { readonly question: string; readonly honest: string })[] = [
  {
    number: 1,
    id: "room",
    name: "Room",
    question: "Where does everyone go?",
    honest: "Not begun. The plan of the room comes with a later release; nothing here waits for it.",
  },
  {
    number: 2,
    id: "kit",
    name: "Kit",
    question: "Will it last the day?",
    honest: "Not begun. Cards, batteries and mains over the day come with a later release.",
  },
  {
    number: 3,
    id: "day",
    name: "Day",
    question: "Where are we?",
    honest: "Not begun. The slate and the log on the phone come with a later release.",
  },
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
