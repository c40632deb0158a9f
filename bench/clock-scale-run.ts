import { availableParallelism } from "node:os";
import { dirname } from "node:path";
import { clock } from "#clock/clock";
import type { MeasureContext } from "#documents/chapter";
import type { Recording } from "#documents/recording";
import { openHands } from "#jobs/other-hands";
import { openScratchFiles } from "#outside/disk/scratch";
import { openMediaReader } from "#outside/media/media-reader";
import { probeRecording } from "#outside/media/probe";
import { benchContext, benchRecording } from "./clock-media.ts";
import { rawSamples } from "./clock-scale-sound.ts";

/** A recording on disk. */
export interface ScaleRecording {
  readonly device: string;
  readonly path: string;
  /** Of a raw file; null where the media layer decodes it. */
  readonly seconds: number | null;
  readonly role: "lav" | null;
}

/** What one run of the chapter took, in a process of its own. Seconds by the clock, and megabytes. */
export interface ScaleOutcome {
  readonly placed: readonly {
    readonly path: string;
    readonly offset: number | null;
    readonly ratePpm: number | null;
  }[];
  /** Of making sound out of files, wherever it was waited for: reading, for raw ones. Most of it goes on beside the rest. */
  readonly reading: number;
  /** From the start to the last block heard, reading included. */
  readonly listening: number;
  /** The pairs. */
  readonly comparing: number;
  /** Loops, solution, claps. */
  readonly rest: number;
  /** Processor time of it all, every thread, reading too. */
  readonly processor: number;
  /** The most that was ever resident, and before anything was heard. */
  readonly most: number;
  readonly before: number;
}

// Asking for processor time at every block would itself be the largest cost.
const now = () => performance.now() / 1e3;

async function run(wanted: readonly ScaleRecording[]): Promise<ScaleOutcome> {
  const held = wanted.flatMap(({ device, path, seconds, role }) =>
    seconds === null ? [] : [benchRecording(device, path, seconds, rawSamples(path), role)],
  );
  const decoded = await Promise.all(
    wanted
      .filter(({ seconds }) => seconds === null)
      .map(
        async ({ device, path, role }): Promise<Recording> => ({
          hash: `xxh128:${path}`,
          path,
          device,
          kind: "sound",
          roles: role ? [{ channel: 1, role }] : [],
          probe: await probeRecording(path),
        }),
      ),
  );
  let reading = 0;
  const plain = benchContext(held);
  const files = openMediaReader((recording) => recording.path);
  const media: MeasureContext["media"] = {
    ...plain.media,
    async *sound(recording, wish) {
      const source = decoded.includes(recording) ? files : plain.media;
      const blocks = source.sound(recording, wish)[Symbol.asyncIterator]();
      for (;;) {
        const from = now();
        const { done, value } = await blocks.next();
        reading += now() - from;
        if (done) return;
        yield value;
      }
    },
  };
  const start = now();
  const used = process.cpuUsage();
  const before = process.memoryUsage().rss / 1e6;
  const ends = { listening: start, comparing: start };
  const hands = openHands(availableParallelism(), plain.signal);
  const scratch = openScratchFiles(dirname(wanted[0]!.path));
  const result = await clock.measure(
    {
      recordings: wanted.map(
        ({ path }) => [...held.map((h) => h.recording), ...decoded].find((r) => r.path === path)!,
      ),
      master: null,
    },
    {
      ...plain,
      ...(process.env.ALONE ? {} : { hands }),
      scratch: scratch.open,
      media,
      progress: (_share, doing) => {
        if (doing?.startsWith("listening")) ends.listening = now();
        if (doing?.startsWith("comparing")) ends.comparing = now();
      },
    },
  );
  const end = now();
  await hands.close();
  await scratch.close();
  const { user, system } = process.cpuUsage(used);
  return {
    placed: result.recordings.map(({ path, offset, ratePpm }) => ({ path, offset, ratePpm })),
    reading,
    listening: ends.listening - start,
    comparing: ends.comparing - ends.listening,
    rest: end - ends.comparing,
    processor: (user + system) / 1e6,
    most: process.resourceUsage().maxRSS / 1e3,
    before,
  };
}

if (process.send)
  process.once("message", (wanted: readonly ScaleRecording[]) => {
    void run(wanted).then((outcome) => process.send!(outcome, () => process.exit(0)));
  });
