import type { ChapterName, ChapterResults } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { findingsOf } from "#jobs/live-sitting";
import { openProcessExecutor } from "#jobs/process-executor";
import type { Executor } from "#jobs/task";
import type { ExitCode } from "./main.ts";
import { findingsText, openProgress, type ProgressDisplay } from "./terminal.ts";

/** Gives work an executor and a progress display, and closes both whatever happens. */
export async function withExecutor<T>(
  work: (executor: Executor, display: ProgressDisplay) => Promise<T>,
): Promise<T> {
  const executor = openProcessExecutor();
  const display = openProgress();
  try {
    return await work(executor, display);
  } finally {
    display.close();
    await executor.close();
  }
}

export const exitCodeFor = (findings: readonly Finding[]): ExitCode =>
  findings.some(({ weight }) => weight === "stop") ? 1 : 0;

/** Tells a chapter's result: JSON on standard output where asked for, else the verdict and its findings. */
export function tellResult<Name extends ChapterName>(
  name: Name,
  result: ChapterResults[Name],
  verdict: string,
  json: boolean,
): ExitCode {
  const findings = findingsOf(name, result);
  if (json) process.stdout.write(`${JSON.stringify({ ...result, findings, verdict }, null, 2)}\n`);
  else process.stdout.write(`${verdict}\n${findingsText(findings)}`);
  return exitCodeFor(findings);
}
