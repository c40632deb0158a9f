import type { ReactNode } from "react";
import type { StoryResult } from "#documents/chapter-results";
import type { Said } from "#documents/said";
import { cutTime, useCutTimeAs } from "../data/cut-player.ts";
import { say } from "../data/say.ts";
import { type BraidActs, otherCameras } from "../figures/braid-acts.ts";
import { eventAt } from "../words/cut-time.ts";
import { Prose } from "../words/prose.tsx";
import { clockTime } from "../words/times.ts";

/** A shot shorter than this is not made by cutting at the play line; seconds. */
const shortest = 0.4;

/** The shot at the play line and all that can be said of it, each by one press. */
export function ShotActs({
  story,
  said,
  acts,
}: {
  readonly story: StoryResult;
  readonly said: Said;
  readonly acts: BraidActs;
}): ReactNode {
  const index = useCutTimeAs((time) => Math.max(0, eventAt(story.events, time + 1e-6)));
  const second = useCutTimeAs((time) => Math.floor(time));
  const event = story.events[index];
  if (!event) return null;
  const others = otherCameras(story, event);
  const meets = (s: { from: number; to: number }) =>
    s.from < event.sittingEnd - 1e-3 && s.to > event.sittingStart + 1e-3;
  const angles = said.story.angles.filter(meets);
  const kept = said.story.kept.filter(meets);
  const canCut = second - event.start > shortest && event.end - second > shortest;
  return (
    <div className="shot-acts">
      <p>
        <Prose text={`On camera ${event.camera}`} />, {clockTime(event.start)}–{clockTime(event.end)}:
      </p>
      <ul>
        {others.map((camera) => (
          <li key={camera}>
            <button type="button" className="link" onClick={() => acts.angle(event, camera)}>
              <span>
                <Prose text={`Show camera ${camera}`} />
              </span>
            </button>
          </li>
        ))}
        {canCut &&
          others.slice(0, 1).map((camera) => (
            <li key={camera}>
              <button
                type="button"
                className="link"
                onClick={() => {
                  const at = event.sittingStart + Math.max(0, cutTime() - event.start);
                  acts.angle({ sittingStart: at, sittingEnd: event.sittingEnd }, camera);
                }}
              >
                <span>
                  <Prose text={`Camera ${camera} from ${clockTime(Math.max(second, event.start))} on`} />
                </span>
              </button>
            </li>
          ))}
        {angles.length > 0 && (
          <li>
            <button
              type="button"
              className="link"
              onClick={() =>
                say({
                  kind: "angle",
                  from: Math.min(...angles.map((a) => a.from)),
                  to: Math.max(...angles.map((a) => a.to)),
                  camera: null,
                })
              }
            >
              Let Story choose
            </button>
          </li>
        )}
        {kept.length > 0 ? (
          <li>
            <button
              type="button"
              className="link"
              onClick={() =>
                say({
                  kind: "unsay",
                  from: Math.min(...kept.map((k) => k.from)),
                  to: Math.max(...kept.map((k) => k.to)),
                })
              }
            >
              Take back what was given back
            </button>
          </li>
        ) : (
          <li>
            <button type="button" className="link" onClick={() => acts.foldAway(event)}>
              Fold it away
            </button>
          </li>
        )}
      </ul>
    </div>
  );
}
