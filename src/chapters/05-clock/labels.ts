import type { ClockResult } from "#documents/chapter-results";
import { secondsBetween, type TimeOfDay } from "./time-of-day.ts";

type Row = ClockResult["recordings"][number];

/** Where a label puts a recording. */
export interface ByLabel {
  readonly offset: number;
  /** Known only where timecode was heard in both; else null. */
  readonly ratePpm: number | null;
  readonly uncertainty: number;
  /** Whether every other label that can be checked by sound agrees with the ones that were used. */
  readonly isUnanimous: boolean;
}

/** A label that its recording's sound speaks against. */
export interface LabelApart {
  readonly index: number;
  /** Where the others' labels would put it. */
  readonly offset: number;
  readonly label: string;
  readonly source: TimeOfDay["source"];
}

/** Labels agree when they are this close: a device set by hand to the same second is not one of them. */
const togetherSeconds = 0.1;
/** Two generators that were set to each other may stand up to a frame apart, anywhere within it. */
const generatorsApart = 1 / Math.sqrt(12);

/**
 * What the labels of the recordings come to, once sound has placed some of them: which labels agree, and where one
 * that was not placed lies by them.
 */
export class Labels {
  readonly #rows: readonly Row[];
  readonly #times: readonly (TimeOfDay | null)[];
  readonly #anchors: readonly number[];
  /** Anchors that agree with one another, the most there are; the master's side where two are as many. */
  readonly agreeing: ReadonlySet<number>;

  /** @param times - Of each row; null where it has no label. */
  constructor(rows: readonly Row[], times: readonly (TimeOfDay | null)[], master: number) {
    this.#rows = rows;
    this.#times = times;
    this.#anchors = rows
      .flatMap((row, i) => (row.placedBy === "sound" && times[i] ? [i] : []))
      .sort((a, b) => Number(b === master) - Number(a === master));
    const near = (p: number) =>
      this.#anchors.filter(
        (q) => q === p || Math.abs(this.#through(p, q) - rows[p]!.offset!) < togetherSeconds,
      );
    // A device counts once, however many files it made.
    const devices = (set: readonly number[]) => new Set(set.map((i) => rows[i]!.device)).size;
    let best: readonly number[] = [];
    for (const p of this.#anchors) if (devices(near(p)) > devices(best)) best = near(p);
    this.agreeing = new Set(best);
  }

  /** Offset of recording i, going by the label of the placed recording p. */
  #through(i: number, p: number): number {
    const anchor = this.#times[p]!;
    const row = this.#rows[p]!;
    const local = secondsBetween(this.#times[i]!, anchor) / anchor.speed;
    return row.offset! + local * (1 + row.ratePpm! * 1e-6);
  }

  /** Where a recording lies by labels; null where it has none or nothing that was placed has one. */
  place(i: number): ByLabel | null {
    const own = this.#times[i];
    if (!own) return null;
    // A device whose label is wrong is wrong alike in all its files: its own placed files come first.
    const siblings = this.#anchors.filter((p) => p !== i && this.#rows[p]!.device === this.#rows[i]!.device);
    const others = this.#anchors.filter((p) => p !== i && this.agreeing.has(p));
    const used = siblings.length > 0 ? siblings : others;
    const [anchor] = used.toSorted((a, b) => this.#times[a]!.doubt - this.#times[b]!.doubt);
    if (anchor === undefined) return null;
    const anchorTime = this.#times[anchor]!;
    const offset = this.#through(i, anchor);
    const isHeard = own.source === "heard" && anchorTime.source === "heard";
    const scatter = Math.max(0, ...used.map((p) => Math.abs(this.#through(i, p) - offset)));
    const rivals = siblings.length > 0 ? [] : this.#anchors.filter((p) => p !== i && !this.agreeing.has(p));
    // Where as many labels say otherwise, the doubt is what lies between them.
    const isTie = rivals.length > 0 && rivals.length >= used.length;
    const rivalry = isTie ? Math.abs(this.#through(i, rivals[0]!) - offset) : 0;
    const kinds = used.length > 1 ? scatter : siblings.length > 0 ? 0 : own.grain * generatorsApart;
    return {
      offset,
      ratePpm: isHeard
        ? (((1 + this.#rows[anchor]!.ratePpm! * 1e-6) * own.speed) / anchorTime.speed - 1) * 1e6
        : null,
      uncertainty: Math.hypot(
        own.doubt,
        anchorTime.doubt,
        kinds,
        rivalry,
        this.#rows[anchor]!.uncertainty ?? 0,
      ),
      isUnanimous: rivals.length === 0,
    };
  }

  /** Labels of placed recordings that the agreeing ones speak against. */
  apart(): LabelApart[] {
    const [anchor] = this.agreeing;
    if (anchor === undefined) return [];
    return this.#anchors.flatMap((i) => {
      if (this.agreeing.has(i)) return [];
      const { label, source } = this.#times[i]!;
      return [{ index: i, offset: this.#through(i, anchor), label, source }];
    });
  }
}
