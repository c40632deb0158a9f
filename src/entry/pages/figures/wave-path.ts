/**
 * Samples as an upright waveform, time down: the least and the greatest sample of each page unit, so that a click of
 * one sample still shows.
 *
 * @param samples - Any scale; `full` is drawn as half the width.
 * @returns A closed SVG path, or "" where there are no samples.
 */
export function wavePath(
  samples: readonly number[],
  full: number,
  y0: number,
  y1: number,
  centre: number,
  half: number,
): string {
  const rows = Math.min(samples.length, Math.max(1, Math.round(y1 - y0)));
  if (rows < 2 || !(full > 0)) return "";
  const right: string[] = [];
  const left: string[] = [];
  for (let row = 0; row < rows; row++) {
    const first = Math.floor((row * samples.length) / rows);
    const last = Math.max(first + 1, Math.floor(((row + 1) * samples.length) / rows));
    let least = Number.POSITIVE_INFINITY;
    let greatest = Number.NEGATIVE_INFINITY;
    for (let i = first; i < last; i++) {
      least = Math.min(least, samples[i]!);
      greatest = Math.max(greatest, samples[i]!);
    }
    const y = (y0 + ((row + 0.5) * (y1 - y0)) / rows).toFixed(1);
    right.push(`${(centre + Math.max(0.4, (greatest / full) * half)).toFixed(1)} ${y}`);
    left.push(`${(centre + Math.min(-0.4, (least / full) * half)).toFixed(1)} ${y}`);
  }
  return `M${right.join("L")}L${left.reverse().join("L")}Z`;
}
