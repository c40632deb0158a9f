import { createReadStream } from "node:fs";
import { realpath, stat } from "node:fs/promises";
import type { IncomingMessage, ServerResponse } from "node:http";
import { extname, join, sep } from "node:path";
import { pipeline } from "node:stream/promises";

const types: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json; charset=utf-8",
  ".svg": "image/svg+xml",
  ".woff2": "font/woff2",
  ".woff": "font/woff",
  ".jpg": "image/jpeg",
  ".png": "image/png",
  ".mp4": "video/mp4",
  ".mov": "video/quicktime",
  ".wav": "audio/wav",
  ".vtt": "text/vtt; charset=utf-8",
};

/**
 * The file that a request path names below a root, or undefined where it names nothing there: no `..`, no link that
 * leaves the root, no hidden file.
 *
 * @param path - Decoded once, without a leading slash.
 */
export async function fileBelow(root: string, path: string): Promise<string | undefined> {
  const parts = path.split("/");
  if (path.includes("\0") || path.includes("\\") || parts.some((part) => part === "" || part.startsWith(".")))
    return undefined;
  try {
    const real = await realpath(join(root, ...parts));
    const realRoot = await realpath(root);
    return real.startsWith(realRoot + sep) && (await stat(real)).isFile() ? real : undefined;
  } catch {
    return undefined;
  }
}

/** RFC 9110 section 14: one range of bytes, `undefined` for none or one we need not honour, `null` for an unsatisfiable one. */
export function byteRange(
  header: string | undefined,
  size: number,
): { from: number; to: number } | null | undefined {
  const match = /^bytes=(\d*)-(\d*)$/.exec(header ?? "");
  if (!match || (match[1] === "" && match[2] === "")) return undefined;
  const from = match[1] === "" ? Math.max(0, size - Number(match[2])) : Number(match[1]);
  const to = match[1] === "" || match[2] === "" ? size - 1 : Math.min(size - 1, Number(match[2]));
  return from > to || from >= size ? null : { from, to };
}

/** Sends a file, whole or the range that was asked for. `download` offers it for saving under its own name. */
export async function sendFile(
  request: IncomingMessage,
  response: ServerResponse,
  file: string,
  options: { readonly download?: string; readonly immutable?: boolean } = {},
): Promise<void> {
  const { size } = await stat(file);
  const range = byteRange(request.headers.range, size);
  response.setHeader("Content-Type", types[extname(file).toLowerCase()] ?? "application/octet-stream");
  response.setHeader("Accept-Ranges", "bytes");
  response.setHeader(
    "Cache-Control",
    options.immutable ? "private, max-age=31536000, immutable" : "no-cache",
  );
  if (options.download !== undefined)
    response.setHeader(
      "Content-Disposition",
      `attachment; filename*=UTF-8''${encodeURIComponent(options.download)}`,
    );
  if (range === null) {
    response.writeHead(416, { "Content-Range": `bytes */${size}` }).end();
    return;
  }
  const { from, to } = range ?? { from: 0, to: size - 1 };
  if (range)
    response.writeHead(206, {
      "Content-Range": `bytes ${from}-${to}/${size}`,
      "Content-Length": to - from + 1,
    });
  else response.writeHead(200, { "Content-Length": size });
  if (request.method === "HEAD" || size === 0) {
    response.end();
    return;
  }
  // A browser that seeks drops the connection in the middle; that is not an error of ours.
  await pipeline(createReadStream(file, { start: from, end: to }), response).catch(() => response.destroy());
}
