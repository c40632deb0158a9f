import type { Chapter, MeasureContext, SittingView } from "#documents/chapter";
import type { ClockResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { type Recording, recordingSchema } from "#documents/recording";
import { loadFft } from "#science/signal/fft";
import { placeBesideSound } from "./beside-sound.ts";
import { takeClapStills } from "./clap-stills.ts";
import { closestMicrophone } from "./closeness.ts";
import { listeningRateHz, mostSamplesKept, otherTalkerSeconds } from "./constants.ts";
import { edgesOf } from "./edges.ts";
import { clockFindings } from "./findings.ts";
import { referenceTime } from "./line.ts";
import type { Listened } from "./listened.ts";
import { closeLoops, unclosedFindings } from "./loops.ts";
import { carriesLav, mastersInOrder, secondsOf } from "./master.ts";
import { channelsOf, type Microphone } from "./microphone.ts";
import { nameOf } from "./names.ts";
import { microphoneDistance, type PlannedDistances, pictureOffset, plannedDistances } from "./picture.ts";
import { type AcceptedPair, placeBySound } from "./place.ts";
import { snippetAround } from "./snippet.ts";
import { type PairMeasured, type Solved, solveClocks } from "./solve.ts";
import { soundAside } from "./sound-aside.ts";
import { type SoundWork, workHere } from "./sound-work.ts";
import { hearTimecode, type TimecodeHeard } from "./timecode-heard.ts";
import { clockVerdict } from "./verdict.ts";
import { workByHands } from "./work-by-hands.ts";

/** What Clock depends on: every recording, and which one a person chose as sitting time 0. */
export interface ClockInputs {
  readonly recordings: readonly Recording[];
  readonly master: string | null;
  /** Metres from the sitter's mouth to each device's microphone, where a person said so. */
  readonly microphoneDistances?: Readonly<Record<string, number>>;
  /** The same from the plan of the room, where there is one. */
  readonly planned?: PlannedDistances;
}

/** Clock: every recording on one timeline, by sound, else as the rest of a take, by label, clap or date, else refused. */
export const clock: Chapter<"clock", ClockInputs> = {
  name: "clock",
  version: 8,
  question: "Are all the recordings on one time?",
  after: ["room"],

  inputs(view: SittingView) {
    if (!view.recordings.some((r) => r.probe.sound))
      return {
        missing:
          view.recordings.length === 0
            ? "No recordings yet. Copy the cards in Cards."
            : "No recording has sound. Add a camera file with its scratch sound, or the sound recorder's file.",
      };
    return {
      recordings: view.recordings.map((r) => recordingSchema.parse(r)),
      master: view.sitting.decisions.master ?? null,
      ...(view.sitting.decisions.microphoneDistances && {
        microphoneDistances: view.sitting.decisions.microphoneDistances,
      }),
      ...(view.results.room && { planned: plannedDistances(view.results.room) }),
    };
  },

  async measure(
    { recordings, master: decided, microphoneDistances = {}, planned },
    context,
  ): Promise<ClockResult> {
    const work = await workFor(recordings, context);
    const { heard, microphones, timecodes } = await listenToAll(recordings, decided, work, context);
    const devices = recordings.map((r) => r.device);
    const close = recordings.some(carriesLav) ? null : closestMicrophone(heard, devices);
    const nearDevice = close === null ? null : devices[close]!;
    heard.forEach((h, i) => {
      if (h && (microphones[i]?.role === "lav" || devices[i] === nearDevice))
        heard[i] = { ...h, isNear: true };
    });
    const order = mastersInOrder(recordings, decided, close === null ? null : recordings[close]!.hash);
    // Where nobody told the roles, the one that sounds close is taken for the lav's.
    if (close !== null && microphones[close]?.role === null)
      microphones[close] = { ...microphones[close], role: "lav" };
    const chosen =
      order.find((r) => r.hash === decided) ?? order.find((r) => heard[recordings.indexOf(r)]) ?? order[0]!;
    const master = recordings.indexOf(chosen);
    const seconds = recordings.map((r, i) => heard[i]?.seconds ?? secondsOf(r));
    // Short pieces of work, asked for first: they fill what the long ones leave free.
    const clapsHeard = Promise.all(heard.map((listened) => (listened ? work.claps(listened) : [])));
    clapsHeard.catch(() => {});
    const { pairs, bestScore, repeating } = await placeBySound(
      work,
      heard,
      devices,
      master,
      (done, expected) =>
        context.progress(0.6 + (0.35 * done) / Math.max(1, expected), "comparing the recordings"),
    );
    // A piece after a step is solved as if it were one more recording of the same device.
    const virtual: AcceptedPair[] = [];
    const unknowns = pairs.map((pair, p) => {
      if (pairs.findIndex((first) => first.other === pair.other) === p) return pair;
      virtual.push(pair);
      return { ...pair, other: recordings.length + virtual.length - 1 };
    });
    const solve = (measured: readonly PairMeasured[]) =>
      solveClocks(
        recordings.length + virtual.length,
        master,
        [...devices, ...virtual.map((pair) => devices[pair.other]!)],
        [...seconds, ...virtual.map((pair) => pair.end)],
        measured,
      );
    const placing = solve(unknowns).lines;
    const { closing, unclosed } = await closeLoops(work, heard, devices, pairs, placing);
    const compared = [...unknowns, ...closing];
    const { lines, kept } = solve(compared);
    const edges = edgesOf(
      compared.map((pair, p) => ({
        pair,
        reference: recordings[pair.reference]!.hash,
        other: recordings[(pairs[p] ?? pair).other]!.hash,
        from: pairs[p]?.from ?? 0,
        kept: kept[p]!,
      })),
      lines,
    );
    const distances = recordings.map((r, i) =>
      microphoneDistance(r, microphones[i]?.role ?? null, microphoneDistances, planned ?? null),
    );
    // The pairs by which a recording hangs on the master: it is no surer than the least sure of them.
    const way = (i: number): number[] => {
      const first = pairs.findIndex((p) => p.other === i);
      const own = pairs.flatMap((p, index) => (p.other === i ? [index] : []));
      return i === master || first < 0 ? [] : [...own, ...way(pairs[first]!.reference)];
    };
    const rows = recordings.map((recording, i): ClockResult["recordings"][number] => {
      const solved = lines[i] ?? null;
      const pair = pairs.findIndex((p) => p.other === i);
      const own = pairs.flatMap((p, index) => (p.other === i ? [index] : []));
      return {
        path: recording.path,
        hash: recording.hash,
        device: recording.device,
        // The master is its own measure.
        placedBy: solved ? "sound" : "none",
        offset: solved ? solved.line.offset : null,
        ratePpm: solved ? solved.line.ratePpm : null,
        pictureOffset: solved
          ? pictureOffset(recording, distances[i]!.metres, distances[master]!.metres, solved.line.offset)
          : null,
        confidence:
          i === master
            ? 1
            : pair < 0
              ? 0
              : Math.min(...way(i).map((index) => confidenceOf(pairs[index]!, solved))),
        uncertainty:
          solved &&
          uncertaintyOf(
            way(i).map((index) => pairs[index]!),
            solved,
          ),
        durationSeconds: seconds[i]!,
        ...(microphones[i] && {
          microphone: {
            metres: distances[i]!.metres,
            said: distances[i]!.by === "said",
            ...(distances[i]!.by === "plan" && { planned: true }),
          },
        }),
        ...(own.length > 1 && {
          pieces: own.map((index) => {
            const { line } = lines[unknowns[index]!.other]!;
            return {
              from: Number(pairs[index]!.from.toFixed(3)),
              offset: line.offset,
              ratePpm: line.ratePpm,
            };
          }),
        }),
        windows: own.flatMap((index) => windowsOf(pairs[index]!, kept[index]!, lines)),
      };
    });
    const whole = await placeBesideSound(
      { recordings, master, rows, heard, distances, timecodes, clapsHeard: await clapsHeard },
      context,
    );
    const snippet = await snippetAround(
      whole.placed,
      whole.heardClaps,
      new Map(recordings.map((r) => [r.hash, r.device])),
    );
    const seen = await takeClapStills(whole.rows, whole.claps, recordings, context);
    context.progress(1);
    const result: ClockResult = {
      master: chosen.path,
      recordings: seen.rows,
      edges,
      claps: seen.claps,
      snippet,
      findings: [],
    };
    result.findings = clockFindings(result, {
      recordings,
      master,
      heard,
      microphones,
      pairs,
      bestScore,
      repeating,
      distances,
      timecodes,
      notes: whole.notes,
      checks: whole.checks,
      seen: whole.seen,
    });
    const name = (i: number) => nameOf(result.recordings[i]!, result.recordings);
    result.findings.push(...unclosedFindings(unclosed, name));
    return result;
  },

  verdict: clockVerdict,
  findings: (result): Finding[] => result.findings,
};

/** Short sittings are done before another thread has begun. */
const longSeconds = 600;

async function workFor(recordings: readonly Recording[], context: MeasureContext): Promise<SoundWork> {
  const seconds = recordings.reduce((sum, r) => sum + (r.probe.sound ? secondsOf(r) : 0), 0);
  if (context.hands && seconds >= longSeconds) return workByHands(context.hands);
  return workHere(await loadFft(), async () => context.signal.throwIfAborted());
}

async function listenToAll(
  recordings: readonly Recording[],
  decided: string | null,
  work: SoundWork,
  context: MeasureContext,
): Promise<{
  heard: (Listened | null)[];
  microphones: (Microphone | null)[];
  timecodes: (TimecodeHeard | null)[];
}> {
  const heard: (Listened | null)[] = recordings.map(() => null);
  const microphones: (Microphone | null)[] = recordings.map(() => null);
  const timecodes: (TimecodeHeard | null)[] = recordings.map(() => null);
  const whole = recordings.reduce((sum, r) => sum + (r.probe.sound ? secondsOf(r) : 0), 0) || 1;
  let keptSamples = 0;
  const sofar = recordings.map(() => 0);
  const hearing: Promise<void>[] = [];
  // The master first: it is read most, so it should be among those kept in memory.
  for (const recording of mastersInOrder(recordings, decided)) {
    if (!recording.probe.sound) continue;
    const i = recordings.indexOf(recording);
    const seconds = secondsOf(recording);
    const tell = (done: number) => {
      sofar[i] = done;
      const all = sofar.reduce((sum, one) => sum + one, 0);
      context.progress((0.6 * Math.min(whole, all)) / whole, `listening to ${recording.path}`);
    };
    tell(0);
    context.signal.throwIfAborted();
    const { microphone, timecodeChannel } = await channelsOf(recording, context.media);
    microphones[i] = microphone;
    if (timecodeChannel !== null)
      timecodes[i] = await hearTimecode(recording, timecodeChannel, context.media, context.signal);
    if (!microphone) {
      tell(seconds);
      continue;
    }
    const fits = keptSamples + seconds * listeningRateHz <= mostSamplesKept;
    const keep = fits || (context.scratch ? soundAside(await context.scratch()) : false);
    if (fits) keptSamples += seconds * listeningRateHz;
    const listening = work
      .listen({ recording, microphone, media: context.media, heard: tell }, keep)
      .then((listened) => {
        heard[i] = listened;
        tell(seconds);
      });
    hearing.push(listening);
    // Its failure is met where all are waited for.
    listening.catch(() => {});
    if (!work.atOnce) await listening;
  }
  await Promise.all(hearing);
  return { heard, microphones, timecodes };
}

/**
 * 0 to 1: how far the summed correlation stands above what strangers reach, less where the windows do not agree
 * and where the placement is not sure to a few milliseconds.
 */
function confidenceOf(pair: AcceptedPair, solved: Solved | null): number {
  if (!solved) return 0;
  const standing = 1 - Math.exp(-Math.max(0, pair.score - 7) / 8);
  const agreeing = Math.min(1, pair.agreement / 0.3);
  const sharp = 1 / (1 + (uncertaintyOf([pair], solved) / 0.005) ** 2);
  return Number((standing * (0.5 + 0.5 * agreeing) * sharp).toFixed(3));
}

/**
 * What the windows say, and what they cannot know: which peak is the direct sound, and whether all they heard may be
 * another talker; for every pair on the way to the master.
 */
function uncertaintyOf(way: readonly AcceptedPair[], solved: Solved): number {
  return Math.hypot(
    solved.uncertainty,
    ...way.map((pair) => Math.hypot(pair.doubtSeconds, pair.isSoft ? otherTalkerSeconds : 0)),
  );
}

/** For the figure: what each window says, in sitting time, as a lean away from the recording's start. */
function windowsOf(
  pair: AcceptedPair,
  kept: readonly number[],
  lines: readonly (Solved | null)[],
): ClockResult["recordings"][number]["windows"] {
  const reference = lines[pair.reference];
  const own = lines[pair.other];
  if (!reference || !own) return [];
  return pair.windows.map(({ at, referenceAt, weight }, w) => {
    const sitting = referenceTime(reference.line, referenceAt);
    return {
      at: Number(sitting.toFixed(4)),
      delay: Number((sitting - at - own.line.offset).toFixed(7)),
      weight: Number((weight / (weight + 50)).toFixed(3)),
      used: kept[w]! > 0,
    };
  });
}
