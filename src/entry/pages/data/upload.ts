import type { UploadAnswer } from "#documents/routes";
import { Refused, refusalOf } from "./ask.ts";

/**
 * Sends one file into a sitting to come. Told of its progress, 0 to 1; the file itself never passes through memory whole.
 *
 * @throws Refused where the server says no; TypeError where it cannot be reached; AbortError.
 */
export function upload(
  draft: string,
  file: File,
  onProgress: (share: number) => void,
  signal: AbortSignal,
): Promise<UploadAnswer> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open("POST", `api/uploads?${new URLSearchParams({ draft, name: file.name })}`);
    request.setRequestHeader("content-type", "application/octet-stream");
    request.upload.addEventListener("progress", (event) => {
      if (event.lengthComputable && event.total > 0) onProgress(event.loaded / event.total);
    });
    request.addEventListener("load", () => {
      if (request.status >= 200 && request.status < 300) {
        resolve(JSON.parse(request.responseText) as UploadAnswer);
        return;
      }
      refusalOf(new Response(request.responseText, { status: request.status })).then(reject, reject);
    });
    request.addEventListener("error", () =>
      reject(new TypeError(`${file.name} was not taken over: Gemel cannot be reached.`)),
    );
    request.addEventListener("abort", () => reject(new DOMException("stopped", "AbortError")));
    signal.addEventListener("abort", () => request.abort(), { once: true });
    request.send(file);
  });
}

/** What to show a person of a failure. */
export function sayWhy(error: unknown): string {
  if (error instanceof Refused) return error.message;
  if (error instanceof TypeError) return "Gemel cannot be reached from this page. Nothing was changed.";
  return error instanceof Error ? error.message : String(error);
}
