/** Processor time of this process since a look at it, seconds. What else the machine does is not in it. */
export function processorSeconds(from: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1e6;
}

/** Least and median processor time of some work, milliseconds, after as many rounds to warm up as a fifth of them, at least 100. */
export function processorTime(work: () => unknown, rounds: number): { least: number; median: number } {
  for (let i = 0; i < Math.max(100, rounds / 5); i++) work();
  const times = Array.from({ length: rounds }, () => {
    const from = process.cpuUsage();
    work();
    return processorSeconds(from) * 1000;
  }).sort((a, b) => a - b);
  return { least: times[0]!, median: times[Math.floor(rounds / 2)]! };
}
