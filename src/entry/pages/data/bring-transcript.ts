import type { TranscriptAnswer } from "#documents/routes";
import { ask, refusalOf } from "./ask.ts";
import { say } from "./say.ts";

/**
 * Brings a transcript into the sitting and says that it counts; undone as one change.
 *
 * @param from - A file that was dropped or chosen, or a path on this machine.
 * @throws Refused where it is no transcript; TypeError where the server cannot be reached.
 */
export async function bringTranscript(from: File | string): Promise<TranscriptAnswer> {
  const answer =
    typeof from === "string" ? await ask("api/transcript-path", { path: from }) : await send(from);
  const { file, name, recording } = answer;
  say({ kind: "transcript", file, as: { name, recording } });
  return answer;
}

async function send(file: File): Promise<TranscriptAnswer> {
  const answer = await fetch(`api/transcripts?${new URLSearchParams({ name: file.name })}`, {
    method: "POST",
    headers: { accept: "application/json", "content-type": "application/octet-stream" },
    body: file,
  });
  if (!answer.ok) throw await refusalOf(answer);
  return (await answer.json()) as TranscriptAnswer;
}
