import * as room from "./simulated-room.ts";

/*
 * A simulated interview for tests of Clock: two talkers who take turns in one shoebox of 6.1 x 4.3 x 2.8 m, heard by
 * a lav, by a camera's own microphone, and through a wall.
 */
export const sitter: room.Point = [3.2, 2.4, 1.2];
export const lavAt: room.Point = [3.2, 2.22, 1.05];
const asker: room.Point = [1.9, 1.0, 1.25];
export const cameraAt: room.Point = [1.5, 1.1, 1.3];

/** Seconds by which the sitter's voice reaches the camera later than the lav. */
export const wayToCamera: number =
  (room.distance(sitter, cameraAt) - room.distance(sitter, lavAt)) / room.speedOfSound;

export interface Interview {
  readonly lav: Float32Array;
  readonly camera: Float32Array;
}

/**
 * What both microphones hear, at 16 kHz, noise 50 dB and `snrDb` under the speech.
 *
 * @param silences - Stretches in which nobody speaks, seconds.
 * @param claps - Moments at which the sitter's hands meet.
 */
export async function simulatedInterview(
  seconds: number,
  seed: number,
  more: {
    readonly reverberationSeconds?: number;
    readonly snrDb?: number;
    readonly silences?: readonly (readonly [from: number, end: number])[];
    readonly claps?: readonly number[];
  } = {},
): Promise<Interview> {
  const { reverberationSeconds = 0.4, snrDb = 15, silences = [], claps = [] } = more;
  const rate = room.roomRateHz;
  const box = { size: [6.1, 4.3, 2.8] as const, reverberationSeconds };
  const answers = room.speechLikeNoise(seconds, seed);
  const questions = room.speechLikeNoise(seconds, seed + 500);
  // A question in the first 5 of every 20 seconds.
  for (let i = 0; i < answers.length; i++)
    if ((i / rate) % 20 < 5) answers[i] = 0;
    else questions[i] = 0;
  for (const [from, end] of silences)
    for (const talker of [answers, questions])
      talker.fill(0, Math.round(from * rate), Math.round(end * rate));
  const chance = room.uniform(seed + 9);
  for (const clap of claps) {
    const first = Math.round(clap * rate);
    for (let i = 0; i < 480; i++) answers[first + i]! += 2 * (chance() - 0.5) * Math.exp(-i / 60);
  }
  const at = async (microphone: room.Point, noiseDb: number, noiseSeed: number) => {
    const sound = room.mixed(
      await room.convolved(answers, room.impulseResponse(box, sitter, microphone)),
      await room.convolved(questions, room.impulseResponse(box, asker, microphone)),
    );
    return room.mixed(sound, room.roomNoise(seconds, noiseSeed, levelOf(sound) * 10 ** (-noiseDb / 20)));
  };
  return { lav: await at(lavAt, 50, seed + 1), camera: await at(cameraAt, snrDb, seed + 2) };
}

/** Root mean square. */
export function levelOf(x: Float32Array): number {
  return Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);
}
