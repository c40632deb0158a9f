import type { Recording } from "#documents/recording";

/**
 * Recordings in the order in which they would be chosen as sitting time 0: the one a person chose, else the ones
 * that carry the lav, else the longest; only ones with sound, if any has.
 *
 * @param close - Hash of the recording that sounds like the lav's, where nobody said which carries it.
 */
export function mastersInOrder(
  recordings: readonly Recording[],
  decided: string | null,
  close: string | null = null,
): Recording[] {
  const rank = (r: Recording) =>
    (r.hash === decided ? 4 : 0) + (r.probe.sound ? 2 : 0) + (carriesLav(r) || r.hash === close ? 1 : 0);
  return [...recordings].sort((a, b) => rank(b) - rank(a) || secondsOf(b) - secondsOf(a));
}

/** Whether a person said that one of the channels is the lav. */
export function carriesLav(recording: Recording): boolean {
  return recording.roles.some(({ role }) => role === "lav");
}

/** Seconds that can be used. */
export function secondsOf(recording: Recording): number {
  return recording.readableSeconds ?? recording.probe.durationSeconds;
}
