/** Who speaks. */
export type Speaker = "sitter" | "interviewer";

/** One breath of speech; `pauseBefore` in seconds is the silence that leads up to it within its turn. */
export interface Line {
  readonly text: string;
  readonly pauseBefore: number;
  readonly mark?: "falseStart" | "longPause";
}

/** A question and its answer. */
export interface Exchange {
  readonly question: readonly Line[];
  readonly answer: readonly Line[];
}

/** The interview at the tide mill. The first three make the short demo; all six, told over again, a long one. */
export const exchanges: readonly Exchange[] = [
  {
    question: [{ text: "How did you come to the mill?", pauseBefore: 0 }],
    answer: [
      { text: "I came for,", pauseBefore: 0, mark: "falseStart" },
      { text: "I came for one summer.", pauseBefore: 0.62 },
      {
        text: "The old miller wanted somebody who could swim, because the sluice had jammed, and I could swim.",
        pauseBefore: 0.42,
      },
      { text: "That was thirty one years ago.", pauseBefore: 3.6, mark: "longPause" },
      { text: "The sluice still jams.", pauseBefore: 0.45 },
    ],
  },
  {
    question: [{ text: "What does a working day look like?", pauseBefore: 0 }],
    answer: [
      { text: "People think a mill has hours. It has two tides.", pauseBefore: 0 },
      {
        text: "Some days you grind at four in the morning, and again at half past four in the afternoon.",
        pauseBefore: 0.5,
      },
      { text: "In between, the pond fills, and you sleep if you can.", pauseBefore: 0.55 },
    ],
  },
  {
    question: [{ text: "And what do you listen for?", pauseBefore: 0 }],
    answer: [
      { text: "You do not look at the stones, you listen to them.", pauseBefore: 0 },
      { text: "When they are fed, they sound like rain on a roof.", pauseBefore: 0.48 },
      { text: "When they run dry they ring, and then you have about a minute.", pauseBefore: 0.52 },
      { text: "My daughter says I hear it in my sleep.", pauseBefore: 0.8 },
    ],
  },
  {
    question: [{ text: "Who taught you to dress the stones?", pauseBefore: 0 }],
    answer: [
      { text: "Nobody teaches it. You hold the lamp for somebody who can, for two winters.", pauseBefore: 0 },
      { text: "Then one morning they hand you the pick, and go and make the tea.", pauseBefore: 0.5 },
      {
        text: "I still cut the furrows a little too deep near the eye. He would have said so.",
        pauseBefore: 0.6,
      },
    ],
  },
  {
    question: [{ text: "What happens when the tide is wrong?", pauseBefore: 0 }],
    answer: [
      { text: "The tide is never wrong. The flour order is wrong.", pauseBefore: 0 },
      {
        text: "At the neaps there is so little water in the pond that I only get an hour and a half.",
        pauseBefore: 0.5,
      },
      { text: "So the baker learns to wait, or the baker learns to buy somewhere else.", pauseBefore: 0.55 },
    ],
  },
  {
    question: [{ text: "Will somebody follow you here?", pauseBefore: 0 }],
    answer: [
      { text: "There is a boy from across the creek who comes to watch the gate.", pauseBefore: 0 },
      { text: "He does not say much, which is a good sign in a miller.", pauseBefore: 0.5 },
      { text: "I have told him that I need somebody who can swim.", pauseBefore: 0.9 },
    ],
  },
];
