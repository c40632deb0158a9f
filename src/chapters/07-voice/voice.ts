import type { Chapter, MeasureContext, Missing, SittingView } from "#documents/chapter";
import type { VoiceResult } from "#documents/chapter-results";
import { soundPlacement } from "#science/placement/placement";
import { type CloseLook, lookClosely, pauseLevelOf } from "./close-look.ts";
import { writeDialogue } from "./dialogue.ts";
import { drawn, Envelope } from "./envelope.ts";
import { faultsOf } from "./faults.ts";
import { findingsOf } from "./findings.ts";
import type { VoiceInputs } from "./inputs.ts";
import { listenTo } from "./listen.ts";
import { type Match, matchOf } from "./mix.ts";
import { inferRoles, type RoleOpinion } from "./roles.ts";
import { withSaidSources } from "./said-sources.ts";
import { type Candidate, chooseSegments, type MicFault } from "./segments.ts";
import { asSoundBlocks, placedSpans, type TrackPart, trackBlocks, trackRateHz } from "./track.ts";
import { verdictOf } from "./words.ts";

export type { VoiceInputs };

const envelopePerSecond = 20;
/** A tenth of a millisecond is finer than any choice made here. */
const rounded = (value: number, digits = 4): number => Number(value.toFixed(digits));

/** Which microphone when, and the dialogue track. */
export const voice: Chapter<"voice", VoiceInputs> = {
  name: "voice",
  version: 2,
  question: "Which microphone tells it best?",
  after: ["clock"],

  inputs({ sitting, recordings, results }: SittingView): VoiceInputs | Missing {
    const sounding = recordings.filter((r) => r.probe.sound !== null);
    if (sounding.length === 0) {
      return { missing: "No recording with sound yet. Copy the cards in Cards." };
    }
    const placed = sounding.flatMap((recording) => {
      const found = results.clock?.recordings.find((r) => r.hash === recording.hash);
      const placement = found ? soundPlacement(found) : null;
      return placement ? [{ recording, placement }] : [];
    });
    // Without a clock there is one timeline we know: the first file's own.
    const used =
      placed.length > 0 ? placed : [{ recording: sounding[0]!, placement: { offset: 0, ratePpm: 0 } }];
    const said = (sitting.voice?.sources ?? []).map(({ from, to, source }) => ({ from, to, source }));
    return {
      ...(said.length > 0 ? { said } : {}),
      recordings: used,
      unplaced: sounding.filter((r) => !used.some((u) => u.recording === r)).map((r) => r.path),
      loudnessTarget: sitting.decisions.loudnessTarget,
      truePeakCeiling: sitting.decisions.truePeakCeiling,
    };
  },

  measure,
  verdict: verdictOf,
  findings: (result) => result.findings,
};

async function measure(inputs: VoiceInputs, context: MeasureContext): Promise<VoiceResult> {
  const { media, signal } = context;
  const heard = [];
  for (const [i, { recording }] of inputs.recordings.entries()) {
    context.progress((0.15 * i) / inputs.recordings.length, `listening to ${recording.path}`);
    heard.push(await listenTo(media, recording, signal));
  }
  const opinions = inferRoles(heard);
  const { lav: lavParts, boom: boomParts } = microphones(inputs, opinions);

  const all = placedSpans([...lavParts, ...boomParts]);
  // Whole samples of the timeline, so that a recording that lies on it is copied and not computed anew.
  const start = Math.round(Math.min(...all.map((s) => s.start)) * trackRateHz) / trackRateHz;
  const samples = Math.round((Math.max(...all.map((s) => s.end)) - start) * trackRateHz);
  const duration = samples / trackRateHz;
  const track = { start, samples };

  const look = await lookClosely(media, lavParts, boomParts, track, signal, (done) =>
    context.progress(0.15 + 0.3 * done, "comparing the microphones"),
  );
  const faults = faultsOf(look, duration);
  const chosen = chooseSegments(
    duration,
    candidate(lavParts, look.lav, faults.lav, start),
    candidate(boomParts, look.boom, faults.boom, start),
    pauseLevelOf(look),
  );
  const hasBoth = lavParts.length > 0 && boomParts.length > 0;
  const segments = hasBoth ? withSaidSources(chosen, inputs.said ?? [], start) : chosen;
  const match: Match =
    look.lav && look.boom
      ? matchOf(look.lav.speech, look.boom.speech)
      : { gainDb: 0, lowShelfDb: 0, highShelfDb: 0 };

  const lag = look.lag;
  const lavEnvelope = new Envelope(envelopePerSecond);
  const boomEnvelope = new Envelope(envelopePerSecond);
  const aligned = async (
    name: "lav" | "boom",
    parts: readonly TrackPart[],
    envelope: Envelope,
    shift: { advanceSeconds?: number; polarity?: 1 | -1 },
  ): Promise<string | null> => {
    if (parts.length === 0) return null;
    context.progress(name === "lav" ? 0.45 : 0.55, `writing the ${name}`);
    return context.writeSound(
      `${name}.wav`,
      {
        sampleRateHz: trackRateHz,
        channels: 1,
        bits: 24,
        description:
          name === "lav"
            ? "Lav as recorded, on sitting time"
            : "Boom on sitting time, brought forward to the lav",
      },
      asSoundBlocks(drawn(trackBlocks(media, parts, { ...track, ...shift, signal }), envelope)),
    );
  };
  const paths = {
    lav: await aligned("lav", lavParts, lavEnvelope, {}),
    boom: await aligned(
      "boom",
      boomParts,
      boomEnvelope,
      lag && lavParts.length > 0 ? { advanceSeconds: lag.lagSeconds, polarity: lag.polarity } : {},
    ),
  };
  const dialogue = await writeDialogue(context, paths, segments, match, inputs, (done) =>
    context.progress(0.65 + 0.3 * done, "setting the level"),
  );
  const dialogueEnvelope = new Envelope(envelopePerSecond);
  for await (const block of context.madeSound(dialogue.path, {})) dialogueEnvelope.push(block.channels[0]!);
  dialogueEnvelope.finish();
  context.progress(1);

  const result: Omit<VoiceResult, "findings"> = {
    roles: opinions.map((o) => ({
      path: o.recording.path,
      hash: o.recording.hash,
      channel: o.channel,
      role: o.role,
    })),
    delay: lag ? rounded(lag.lagSeconds, 8) : null,
    polarity: lag ? lag.polarity : null,
    segments: segments.map((s) => ({ ...s, start: rounded(s.start + start), end: rounded(s.end + start) })),
    faults: [
      ...placedFaults(lavParts, faults.lav, start),
      ...placedFaults(boomParts, faults.boom, start),
    ].sort((a, b) => a.start - b.start),
    loudness: {
      integrated: Math.max(-70, dialogue.loudness.integrated),
      // JSON has no infinity: digital silence is written as −120.
      truePeak: Math.max(-120, dialogue.loudness.truePeak),
      range: dialogue.loudness.range,
      target: inputs.loudnessTarget,
    },
    files: [dialogue.path, ...[paths.lav, paths.boom].filter((path) => path !== null)],
    dialogueStart: start,
    envelopes: [
      ...(paths.lav ? [envelope("lav", lavEnvelope, start)] : []),
      ...(paths.boom ? [envelope("boom", boomEnvelope, start)] : []),
      envelope("dialogue", dialogueEnvelope, start),
    ],
  };
  return { ...result, findings: findingsOf(result, { inputs, opinions, look, lavParts, dialogue }) };
}

const envelope = (
  name: "lav" | "boom" | "dialogue",
  { peaks }: Envelope,
  from: number,
): VoiceResult["envelopes"][number] => ({
  name,
  from,
  perSecond: envelopePerSecond,
  peaks,
});

/** The parts of the two tracks; with neither lav nor boom, the best other microphone takes the lav's place. */
function microphones(
  inputs: VoiceInputs,
  opinions: readonly RoleOpinion[],
): { lav: TrackPart[]; boom: TrackPart[] } {
  const partsOf = (wanted: readonly RoleOpinion[]): TrackPart[] => {
    // One channel a recording: two on the same track would overlap.
    const first = wanted.filter((o, i) => wanted.findIndex((p) => p.recording === o.recording) === i);
    return first.map(({ recording, channel }) => ({
      recording,
      channel,
      placement: inputs.recordings.find((r) => r.recording === recording)!.placement,
    }));
  };
  const byRole = (role: string): RoleOpinion[] =>
    opinions.filter((o) => o.role === role).sort((a, b) => b.confidence - a.confidence);
  const lav = partsOf(byRole("lav"));
  const boom = partsOf(byRole("boom"));
  if (lav.length + boom.length > 0) return { lav, boom };
  for (const role of ["scratch", "interviewer", "silent", "timecode"]) {
    const candidates = byRole(role);
    const device = candidates[0]?.recording.device;
    const parts = partsOf(candidates.filter((o) => o.recording.device === device));
    if (parts.length > 0) return { lav: parts, boom: [] };
  }
  throw new TypeError("a recording with sound has no channel");
}

function candidate(
  parts: readonly TrackPart[],
  look: CloseLook["lav"],
  faults: readonly MicFault[],
  trackStart: number,
): Candidate | null {
  if (parts.length === 0 || !look) return null;
  return {
    there: placedSpans(parts).map((s) => ({ start: s.start - trackStart, end: s.end - trackStart })),
    faults,
    rangeDb: look.speech.voiceDb - look.speech.floorDb,
  };
}

/** Faults with the file they lie in; sitting time. */
function placedFaults(
  parts: readonly TrackPart[],
  faults: readonly MicFault[],
  trackStart: number,
): VoiceResult["faults"] {
  const spans = placedSpans(parts);
  return faults.flatMap((fault) => {
    const start = fault.start + trackStart;
    const end = fault.end + trackStart;
    return spans
      .filter((s) => s.start < end && start < s.end)
      .map((s) => ({
        start: rounded(Math.max(start, s.start)),
        end: rounded(Math.min(end, s.end)),
        path: s.part.recording.path,
        channel: s.part.channel,
        kind: fault.kind,
      }));
  });
}
