import { createHash, timingSafeEqual } from "node:crypto";
import type { IncomingMessage } from "node:http";

/*
 * Who may speak to the server. It listens on loopback only, but so does every page of every browser on this
 * machine speak to loopback: a request must name this address as its host (no DNS rebinding), must not come from
 * another site, and must carry the secret that was printed when the server started.
 * [ASVS 5.0.0: 3.3.2, 3.5.1, 3.5.3]
 */

const cookieName = "gemel";

const same = (a: string, b: string): boolean => {
  const digest = (text: string): Buffer => createHash("sha256").update(text).digest();
  return timingSafeEqual(digest(a), digest(b));
};

export type Access =
  /** The secret came in the address: set the cookie and go to the address without it. */
  | { readonly say: "enter"; readonly cookie: string }
  | { readonly say: "in" }
  | { readonly say: "refuse"; readonly status: 403; readonly why: string };

/** Decides about one request. `port` is the one that the server listens on. */
export function accessOf(request: IncomingMessage, token: string, port: number): Access {
  const hosts = [`127.0.0.1:${port}`, `localhost:${port}`, `[::1]:${port}`];
  const refuse = (why: string): Access => ({ say: "refuse", status: 403, why });
  if (!hosts.includes(request.headers.host ?? ""))
    return refuse("This address is not one of this server's own.");
  const origin = request.headers.origin;
  if (origin !== undefined && !hosts.some((host) => origin === `http://${host}`))
    return refuse("A page of another site may not ask this server.");
  const from = request.headers["sec-fetch-site"];
  const url = new URL(request.url ?? "/", "http://localhost");
  const offered = url.searchParams.get("key");
  if (offered !== null && same(offered, token))
    return { say: "enter", cookie: `${cookieName}=${token}; HttpOnly; SameSite=Strict; Path=/` };
  if (from !== undefined && !["same-origin", "none"].includes(from))
    return refuse("A page of another site may not ask this server.");
  const cookie = (request.headers.cookie ?? "")
    .split(/;\s*/)
    .find((part) => part.startsWith(`${cookieName}=`))
    ?.slice(cookieName.length + 1);
  if (cookie === undefined || !same(cookie, token))
    return refuse(
      "Open the address that was printed when Gemel was started; it carries the key to this page.",
    );
  return { say: "in" };
}
