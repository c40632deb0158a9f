import type { HandoverResult, StoryResult } from "#documents/chapter-results";
import type { SittingPage } from "#documents/page";
import type { Played } from "../parts/cut-video.tsx";
import { fileAddress } from "../words/addresses.ts";
import type { ProxyCut } from "./proxy-deck.ts";

/** The dialogue as Voice made it, on sitting time; null before. */
export function dialogueOf(page: SittingPage): ProxyCut["sound"] {
  const voice = page.chapters.find((c) => c.name === "voice")?.result;
  if (!voice || !("dialogueStart" in voice) || !voice.files[0]) return null;
  return { address: fileAddress(voice.files[0]), start: voice.dialogueStart };
}

/** A cut point moves by less than this where nothing was changed; seconds. */
const hair = 1e-3;

/** Whether the rendered first cut is the cut as it stands, shot by shot. */
export function holdsCut(cut: HandoverResult["firstCut"], story: StoryResult | null): boolean {
  const shots = cut?.shots;
  return (
    shots !== undefined &&
    story !== null &&
    shots.length === story.events.length &&
    story.events.every((event, i) => {
      const shot = shots[i]!;
      return (
        shot.hash === event.hash &&
        (shot.scale ?? 1) === (event.scale ?? 1) &&
        Math.abs(shot.sourceStart - event.sourceStart) < hair &&
        Math.abs(shot.seconds - (event.end - event.start)) < hair
      );
    })
  );
}

/**
 * What the screens show: the rendered file while it is the cut as it stands, else the cut from the small copies, once
 * every recording in it has one; else the rendered file of before.
 *
 * @param isRendered - Whether the rendered file is the cut as it stands.
 */
export function playedOf(
  proxies: SittingPage["proxies"],
  sound: ProxyCut["sound"],
  story: StoryResult | null,
  cut: HandoverResult["firstCut"],
  isRendered: boolean,
): Played | null {
  const file: Played | null = cut
    ? {
        kind: "file",
        path: cut.path,
        durationSeconds: cut.durationSeconds,
        ...(cut.poster ? { poster: cut.poster } : {}),
      }
    : null;
  if (!story || story.events.length === 0 || (file && isRendered)) return file;
  const addresses = Object.fromEntries(proxies.map(({ hash, path }) => [hash, fileAddress(path)]));
  if (story.events.some(({ hash }) => addresses[hash] === undefined)) return file;
  return { kind: "proxies", cut: { events: story.events, proxies: addresses, sound } };
}
