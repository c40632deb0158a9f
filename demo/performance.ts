import { hash32 } from "./random.ts";
import { type Conversation, loudnessAt } from "./sound/conversation.ts";

/** How the miller holds herself at one moment; lengths in metres, turns in radians. */
export interface Gesture {
  /** 0 closed to 1 open. */
  readonly mouth: number;
  readonly lids: number;
  readonly yaw: number;
  readonly pitch: number;
  readonly roll: number;
  readonly headRight: number;
  readonly headUp: number;
  readonly sway: number;
  readonly breath: number;
  readonly handUp: number;
  readonly handRight: number;
}

/** Slow chance, -1 to 1, smooth, with about `perSecond` turns a second. */
function drift(seed: number, t: number, perSecond: number): number {
  const x = t * perSecond;
  const i = Math.floor(x);
  const f = x - i;
  const u = f * f * f * (f * (6 * f - 15) + 10);
  const a = hash32(seed, i) / 2147483648 - 1;
  const b = hash32(seed, i + 1) / 2147483648 - 1;
  return a + (b - a) * u;
}

function ease(t: number): number {
  const x = Math.min(1, Math.max(0, t));
  return x * x * (3 - 2 * x);
}

function blink(seed: number, t: number): number {
  const every = 3.1;
  let shut = 0;
  for (let k = Math.floor(t / every) - 1; k <= Math.floor(t / every) + 1; k++) {
    const at = (k + 0.15 + 0.7 * (hash32(seed, k, 5) / 4294967296)) * every;
    const since = t - at;
    if (since > 0 && since < 0.3)
      shut = Math.max(shut, since < 0.09 ? ease(since / 0.09) : 1 - ease((since - 0.11) / 0.19));
  }
  return shut;
}

/** What she does at a moment of the sitting: speaks, nods, listens, blinks, breathes. Depends on the moment and the seed alone. */
export function gestureAt(talk: Conversation, seed: number, t: number): Gesture {
  const now = loudnessAt(talk, "sitter", t);
  const loud = Math.max(
    now,
    0.6 * loudnessAt(talk, "sitter", t - 0.035),
    0.75 * loudnessAt(talk, "sitter", t + 0.03),
  );
  // how much she is in the middle of speaking: slow, for the body
  const speaking = talk.spoken.some((s) => s.who === "sitter" && t > s.start - 0.3 && t < s.end + 0.2)
    ? 1
    : 0;
  let engaged = 0;
  for (let k = -6; k <= 6; k++) {
    const at = t + k * 0.08;
    engaged += talk.spoken.some((s) => s.who === "sitter" && at > s.start - 0.2 && at < s.end + 0.1)
      ? 1 / 13
      : 0;
  }
  const listening = talk.spoken.some((s) => s.who === "interviewer" && t > s.start && t < s.end + 0.3)
    ? 1
    : 0;
  const beat = drift(seed + 3, t, 1.35);
  const nod =
    engaged * (0.5 * beat + 0.4 * drift(seed + 4, t, 2.4)) +
    0.25 * listening * Math.sin(t * 5.2) * Math.exp(-(((t % 2) - 1) ** 2) * 3);
  const mouth = Math.min(1, 1.15 * loud ** 0.75) * (speaking || now > 0.05 ? 1 : 0);
  const think = talk.spoken.some((s) => s.mark === "longPause" && t > s.start - 3.1 && t < s.start - 0.5)
    ? 1
    : 0;
  let thinking = 0;
  for (let k = -5; k <= 5; k++) {
    const at = t + k * 0.09;
    thinking += talk.spoken.some((s) => s.mark === "longPause" && at > s.start - 3.0 && at < s.start - 0.4)
      ? 1 / 11
      : 0;
  }
  return {
    mouth: mouth < 0.06 ? 0 : mouth,
    lids: Math.max(blink(seed, t), 0.12 + 0.2 * thinking + 0.05 * drift(seed + 9, t, 0.4) * (1 - think)),
    yaw: 0.05 * drift(seed, t, 0.31) + 0.055 * engaged * drift(seed + 1, t, 0.83) + 0.09 * thinking,
    pitch: 0.025 * drift(seed + 2, t, 0.36) + 0.07 * nod + 0.1 * thinking,
    roll: 0.02 * drift(seed + 5, t, 0.27) + 0.035 * engaged * drift(seed + 6, t, 0.71),
    headRight: 0.0045 * drift(seed + 7, t, 0.35) + 0.004 * engaged * drift(seed + 8, t, 0.9),
    headUp: -0.004 * Math.max(0, nod) - 0.003 * thinking,
    sway: 0.007 * drift(seed + 10, t, 0.17) + 0.006 * engaged * drift(seed + 11, t, 0.45),
    breath: 0.0024 * Math.sin(2 * Math.PI * t * 0.24 + 0.6 * drift(seed + 12, t, 0.1)),
    handUp:
      0.03 * Math.max(0, drift(seed + 13, t, 0.55)) * engaged + 0.006 * engaged * drift(seed + 14, t, 1.9),
    handRight: 0.014 * drift(seed + 15, t, 0.42) * engaged,
  };
}
