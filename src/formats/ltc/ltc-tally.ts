import { frameFromTimecode, framesPerDay } from "#science/timecode/timecode-label";
import type { Rate } from "#science/timecode/timecode-rate";
import type { LtcFrame } from "./ltc-decoder.ts";
import { ltcText } from "./ltc-word.ts";

/** A stretch over which the labels follow one another. */
export interface LtcRun {
  /** Words that were read in it. */
  readonly words: number;
  /** Samples, [from, end). */
  readonly from: number;
  readonly end: number;
  /** As counted from 00:00:00:00; it goes on past the last frame of the day. */
  readonly firstFrame: number;
  readonly lastFrame: number;
  /** Frame number f begins at sample `atFirst + (f - firstFrame) * samplesPerFrame`; negative where it runs backwards. */
  readonly atFirst: number;
  readonly samplesPerFrame: number;
  /** Root mean square of the words about that line, samples. */
  readonly scatter: number;
  /** Label of the first frame, as heard. */
  readonly label: string;
}

/** What the timecode of a whole channel comes to. */
export interface LtcReading {
  readonly rate: Rate;
  readonly dropFrame: boolean;
  /** By their beginning; single stray words are left out. */
  readonly runs: readonly LtcRun[];
  readonly words: number;
}

interface Sums {
  run: { firstFrame: number; lastFrame: number; from: number; end: number; label: string };
  words: number;
  meanFrame: number;
  meanSample: number;
  spread: number;
  lean: number;
  squares: number;
  reversed: boolean;
  lastSample: number;
}

const nominal: readonly { readonly rate: Rate; readonly labels: number }[] = [
  { rate: { num: 24000, den: 1001 }, labels: 24 },
  { rate: { num: 24, den: 1 }, labels: 24 },
  { rate: { num: 25, den: 1 }, labels: 25 },
  { rate: { num: 30000, den: 1001 }, labels: 30 },
  { rate: { num: 30, den: 1 }, labels: 30 },
];
/** Words that are looked at before their rate is decided: all that a second can hold, and some. */
const wordsToDecide = 64;
/** Words in a row that tell another story than the run: then it is another run. */
const wordsToTurn = 3;
/** Shorter runs are strays. */
const leastWords = 3;

/**
 * Gathers the words of one channel into runs of labels that follow one another, each with its even clock. A word
 * that noise made say something else is left out; a jump of the timecode begins a new run.
 */
export class LtcTally {
  readonly #sampleRateHz: number;
  #early: LtcFrame[] = [];
  #kind: { rate: Rate; dropFrame: boolean } | null = null;
  readonly #closed: LtcRun[] = [];
  #open: Sums | null = null;
  #strays: { frame: number; word: LtcFrame }[] = [];
  #words = 0;

  constructor(sampleRateHz: number) {
    this.#sampleRateHz = sampleRateHz;
  }

  /** Takes in the next word, in the order in which words are heard. */
  add(word: LtcFrame): void {
    this.#words++;
    if (this.#kind) this.#place(word);
    else if (this.#early.push(word) === wordsToDecide) this.#decide();
  }

  /** @returns null where fewer than three words followed one another. */
  finish(): LtcReading | null {
    if (!this.#kind) this.#decide();
    this.#close();
    if (!this.#kind || this.#closed.length === 0) return null;
    return { ...this.#kind, runs: this.#closed, words: this.#words };
  }

  #decide(): void {
    if (this.#early.length === 0) return;
    this.#kind = ltcRate(this.#early, this.#sampleRateHz);
    for (const word of this.#early) this.#place(word);
    this.#early = [];
  }

  #place(word: LtcFrame): void {
    const { rate, dropFrame } = this.#kind!;
    let frame: number;
    try {
      frame = frameFromTimecode(ltcText({ ...word.label, dropFrame }), rate, dropFrame);
    } catch {
      return;
    }
    const day = framesPerDay(rate, dropFrame);
    const open = this.#open;
    if (open && open.reversed === word.reversed) {
      const since = Math.round((word.startSample - open.lastSample) / (word.endSample - word.startSample));
      const expected = open.run.lastFrame + since;
      if (since !== 0 && (frame - expected) % day === 0) {
        this.#strays = [];
        gather(open, expected, word);
        return;
      }
    }
    this.#strays.push({ frame, word });
    const row = this.#strays;
    const follows = row.every(
      ({ frame: f, word: w }, i) =>
        i === 0 ||
        (w.reversed === row[0]!.word.reversed && (f - row[i - 1]!.frame - (w.reversed ? -1 : 1)) % day === 0),
    );
    if (!follows) this.#strays = [{ frame, word }];
    else if (row.length === wordsToTurn) {
      this.#close();
      this.#strays = [];
      row.forEach(({ frame: f, word: w }, i) => {
        if (i === 0) this.#open = begun(f, w);
        else gather(this.#open!, row[0]!.frame + (w.reversed ? -i : i), w);
      });
    }
  }

  #close(): void {
    const open = this.#open;
    this.#open = null;
    if (!open || open.words < leastWords) return;
    const samplesPerFrame = open.lean / open.spread;
    const left = Math.max(0, open.squares - (open.lean * open.lean) / open.spread);
    this.#closed.push({
      ...open.run,
      words: open.words,
      atFirst: open.meanSample + (open.run.firstFrame - open.meanFrame) * samplesPerFrame,
      samplesPerFrame,
      scatter: Math.sqrt(left / open.words),
    });
  }
}

/**
 * Which rate the words are of: by their speed where that is near one that exists, else (a tape at another speed)
 * by the highest frame number and the drop-frame flag.
 */
export function ltcRate(
  words: readonly LtcFrame[],
  sampleRateHz: number,
): { rate: Rate; dropFrame: boolean } {
  const dropFrame = words.filter((w) => w.label.dropFrame).length > words.length / 2;
  const periods = words.map((w) => Math.abs(w.endSample - w.startSample)).sort((a, b) => a - b);
  const perSecond = sampleRateHz / periods[periods.length >> 1]!;
  const highest = words.map((w) => w.label.frames).sort((a, b) => b - a)[Math.min(1, words.length - 1)]!;
  const possible = nominal.filter(
    ({ rate, labels }) => labels > highest && (!dropFrame || (rate.den === 1001 && labels === 30)),
  );
  const off = ({ rate }: (typeof nominal)[number]) => Math.abs(Math.log((perSecond * rate.den) / rate.num));
  const nearest = possible.reduce((best, one) => (off(one) < off(best) ? one : best));
  if (off(nearest) < 0.004) return { rate: nearest.rate, dropFrame };
  const labels = highest < 24 ? 24 : highest < 25 ? 25 : 30;
  const whole = { num: labels, den: 1 };
  return { rate: dropFrame ? { num: 30000, den: 1001 } : whole, dropFrame };
}

function begun(frame: number, word: LtcFrame): Sums {
  return {
    run: {
      firstFrame: frame,
      lastFrame: frame,
      from: Math.min(word.startSample, word.endSample),
      end: Math.max(word.startSample, word.endSample),
      label: ltcText(word.label),
    },
    words: 1,
    meanFrame: frame,
    meanSample: word.startSample,
    spread: 0,
    lean: 0,
    squares: 0,
    reversed: word.reversed,
    lastSample: word.startSample,
  };
}

/** One more point into the running sums of a straight line (Welford's way, which keeps its digits over hours). */
function gather(sums: Sums, frame: number, word: LtcFrame): void {
  sums.words++;
  const byFrame = frame - sums.meanFrame;
  const bySample = word.startSample - sums.meanSample;
  sums.meanFrame += byFrame / sums.words;
  sums.meanSample += bySample / sums.words;
  sums.spread += byFrame * (frame - sums.meanFrame);
  sums.lean += byFrame * (word.startSample - sums.meanSample);
  sums.squares += bySample * (word.startSample - sums.meanSample);
  sums.run.lastFrame = frame;
  sums.lastSample = word.startSample;
  sums.run.from = Math.min(sums.run.from, word.startSample, word.endSample);
  sums.run.end = Math.max(sums.run.end, word.startSample, word.endSample);
}
