import { readFileSync } from "node:fs";
import { hostname } from "node:os";

/**
 * Names a process of a machine for good: its number alone is given out again after it ends (in a container, often the
 * very same one). `startedAt` is the kernel's start time in ticks on Linux, "0" where that cannot be had.
 */
export interface ProcessMark {
  readonly pid: number;
  readonly startedAt: string;
  readonly host: string;
}

/** This process. */
export const ownMark: ProcessMark = {
  pid: process.pid,
  startedAt: startOf(process.pid) ?? "0",
  host: hostname(),
};

/** Whether the process is still there. A process of another machine counts as alive, since nobody here can know. */
export function isAlive(mark: ProcessMark): boolean {
  if (mark.host !== ownMark.host) return true;
  try {
    process.kill(mark.pid, 0);
  } catch (error) {
    // EPERM: it lives, and is another user's
    if ((error as NodeJS.ErrnoException).code !== "EPERM") return false;
  }
  const now = startOf(mark.pid);
  return now === null || mark.startedAt === "0" || now === mark.startedAt;
}

// proc(5), /proc/<pid>/stat, field 22 "starttime"; the command's name in brackets may itself hold spaces and brackets
function startOf(pid: number): string | null {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, "utf8");
    return text.slice(text.lastIndexOf(")") + 2).split(" ")[19] ?? null;
  } catch {
    return null;
  }
}
