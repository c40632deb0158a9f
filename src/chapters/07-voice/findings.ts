import type { VoiceResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { durationFigure, momentFigure } from "#science/units/time-figures";
import type { CloseLook } from "./close-look.ts";
import type { LoudnessFigures } from "./dialogue.ts";
import type { VoiceInputs } from "./inputs.ts";
import type { RoleOpinion } from "./roles.ts";
import type { FaultKind } from "./segments.ts";
import type { TrackPart } from "./track.ts";
import { signed } from "./words.ts";

interface Evidence {
  readonly inputs: VoiceInputs;
  readonly opinions: readonly RoleOpinion[];
  readonly look: CloseLook;
  readonly lavParts: readonly TrackPart[];
  readonly dialogue: {
    readonly loudness: LoudnessFigures;
    readonly gainDb: number;
    readonly deepestDb: number;
  };
}

/** Under this share a guess is shown to a person. */
const sureEnough = 0.65;

const did: Record<FaultKind, string> = {
  rustle: "Cloth rubbed on the",
  clipping: "The voice was too loud for the",
  wind: "Air blew on the",
  dropout: "Sound dropped out of the",
  hum: "Mains hum is on the",
  noise: "Noise is close under the voice on the",
};

/** Everything worth saying, worst first. */
export function findingsOf(result: Omit<VoiceResult, "findings">, evidence: Evidence): Finding[] {
  const order = { stop: 0, warn: 1, note: 2 };
  return [
    ...loudnessFindings(result, evidence),
    ...roleFindings(evidence),
    ...faultFindings(result, evidence),
    ...lagFindings(result, evidence),
    ...saidFindings(result, evidence),
    ...evidence.inputs.unplaced.map((path) => notPlaced(path)),
  ].sort((a, b) => order[a.weight] - order[b.weight]);
}

/** A choice by hand that nothing can be done with: there is only one microphone. */
function saidFindings(result: Omit<VoiceResult, "findings">, { inputs }: Evidence): Finding[] {
  const asked = inputs.said ?? [];
  const only = result.segments[0]?.source;
  if (asked.length === 0 || result.segments.some((s) => s.said) || only === undefined) return [];
  return [
    {
      code: "voice.choice-unused",
      weight: "note",
      says: `A microphone was chosen by hand for ${asked.length === 1 ? "one stretch" : `${asked.length} stretches`}, but the ${only} is the only one there.`,
      remedy: "Nothing to do.",
    },
  ];
}

function notPlaced(path: string): Finding {
  return {
    code: "voice.not-placed",
    weight: "note",
    says: `${path} has no place in time, so its sound was not used.`,
    remedy: "Place it in Clock, then run Voice again.",
    evidence: { where: path },
  };
}

function loudnessFindings(
  { loudness }: Omit<VoiceResult, "findings">,
  { dialogue, inputs }: Evidence,
): Finding[] {
  const off = loudness.integrated - loudness.target;
  const findings: Finding[] = [];
  if (!(loudness.integrated > -69)) {
    findings.push({
      code: "voice.no-voice",
      weight: "stop",
      says: "No voice was found on any microphone.",
      remedy: "Check that the right recordings are in the sitting, and say which channel is the lav.",
      evidence: { figure: `${signed(loudness.integrated)} LUFS` },
    });
  } else if (Math.abs(off) > 0.5) {
    findings.push({
      code: "voice.loudness-missed",
      weight: "warn",
      says: `The dialogue is ${Math.abs(off).toFixed(1)} LU ${off < 0 ? "under" : "over"} the level asked for: its peaks leave no room below ${signed(inputs.truePeakCeiling)} dBTP.`,
      remedy: "Ask for a lower level, or leave it: it is safe to deliver.",
      evidence: { figure: `${signed(loudness.integrated)} LUFS` },
    });
  }
  if (dialogue.deepestDb < -6) {
    findings.push({
      code: "voice.peaks-held",
      weight: "note",
      says: `The loudest peak was held back by ${(-dialogue.deepestDb).toFixed(1)} dB to stay under the ceiling.`,
      remedy: "Listen to the loudest laugh. A lower level would leave it whole.",
      evidence: { figure: `${(-dialogue.deepestDb).toFixed(1)} dB` },
    });
  }
  if (dialogue.gainDb > 20) {
    findings.push({
      code: "voice.recorded-low",
      weight: "note",
      says: `The voice was recorded low and was lifted by ${dialogue.gainDb.toFixed(0)} dB.`,
      remedy: "Next time set the recording level so that speech peaks near −12 dB.",
      evidence: { figure: `${dialogue.gainDb.toFixed(1)} dB` },
    });
  }
  return findings;
}

function roleFindings({ opinions, lavParts }: Evidence): Finding[] {
  const findings: Finding[] = [];
  const has = (role: string): boolean => opinions.some((o) => o.role === role);
  if (!has("lav") && !has("boom")) {
    const used = lavParts[0]!;
    findings.push({
      code: "voice.no-close-microphone",
      weight: "warn",
      says: `No lav and no boom were found; channel ${used.channel} of ${used.recording.path} was used.`,
      remedy: "If a microphone was on the sitter, say which channel carries it.",
      evidence: { where: used.recording.path },
    });
  }
  const shown = new Set<string>();
  for (const o of opinions) {
    const key = `${o.recording.device} ${o.channel}`;
    if (o.confidence >= sureEnough || o.role === "scratch" || shown.has(key)) continue;
    shown.add(key);
    findings.push({
      code: "voice.role-unsure",
      weight: "warn",
      says: `Channel ${o.channel} of ${o.recording.path} was taken for the ${o.role}, because ${o.because}.`,
      remedy: "Listen to it, and say what it carries if this is wrong.",
      evidence: { where: o.recording.path, figure: `${Math.round(o.confidence * 100)} % sure` },
    });
  }
  return findings;
}

function faultFindings(result: Omit<VoiceResult, "findings">, { look }: Evidence): Finding[] {
  const roleOf = (fault: VoiceResult["faults"][number]): string =>
    result.roles.find((r) => r.path === fault.path && r.channel === fault.channel)?.role ?? "microphone";
  const overlap = (a: { start: number; end: number }, b: { start: number; end: number }): boolean =>
    a.start < b.end && b.start < a.end;
  const same = (kind: FaultKind, fault: VoiceResult["faults"][number]): boolean =>
    result.faults.some(
      (o) => o.kind === kind && o.path === fault.path && o.channel === fault.channel && overlap(o, fault),
    );
  // Cloth that overloads the input is told once, as cloth.
  const told = result.faults.filter((fault) => fault.kind !== "clipping" || !same("rustle", fault));
  return told.map((fault): Finding => {
    const role = roleOf(fault);
    const hard = fault.kind === "rustle" && same("clipping", fault) ? ", hard enough to overload it" : "";
    const lasting = fault.kind === "hum" || fault.kind === "noise";
    const heard = result.segments.some(
      (s) =>
        (s.source === "both" || s.source === (role === "boom" ? "boom" : "lav")) &&
        s.start < fault.end - 0.02 &&
        fault.start + 0.02 < s.end,
    );
    const stoodIn = role === "boom" ? "lav" : "boom";
    const hum = role === "boom" ? look.boom?.hum : look.lav?.hum;
    const says = lasting
      ? `${did[fault.kind]} ${role}${fault.kind === "hum" && hum ? `, ${hum.mainsHz} Hz and its multiples at ${signed(hum.levelDb, 0)} dB` : ""}.`
      : `${did[fault.kind]} ${role} for ${durationFigure(fault.end - fault.start)} at ${momentFigure(fault.start)}${hard}.`;
    const speech = role === "boom" ? look.boom?.speech : look.lav?.speech;
    return {
      code: `voice.${fault.kind}`,
      weight: heard ? "warn" : "note",
      says,
      remedy: !heard
        ? lasting
          ? `The ${stoodIn} is used. Nothing to do.`
          : `The ${stoodIn} stands in there. Nothing to do.`
        : lasting
          ? "Record half a minute of the empty room next time, and find what hums before the sitter comes."
          : "No better microphone was there. Listen to it, and cut it if it disturbs.",
      evidence: {
        from: fault.start,
        to: fault.end,
        figure:
          fault.kind === "noise" && speech
            ? `voice ${(speech.voiceDb - speech.floorDb).toFixed(0)} dB over the room`
            : durationFigure(fault.end - fault.start),
      },
    };
  });
}

function lagFindings(result: Omit<VoiceResult, "findings">, { look }: Evidence): Finding[] {
  const findings: Finding[] = [];
  if (result.delay === null) return findings;
  const ms = `${signed(result.delay * 1000, 2)} ms`;
  if (look.lag && look.lag.clear < 1.3) {
    findings.push({
      code: "voice.lag-unsure",
      weight: "warn",
      says: `The boom seems to lag the lav by ${ms}, but another lag fits nearly as well.`,
      remedy: "Listen to a change from one to the other. If it doubles, say which channels are lav and boom.",
      evidence: { figure: ms },
    });
  } else if (Math.abs(result.delay) > 0.012) {
    findings.push({
      code: "voice.boom-far",
      weight: "note",
      says: `The boom lags the lav by ${ms}: it hung ${(result.delay * 343).toFixed(1)} m farther off.`,
      remedy: "It was brought forward for the mix. Next time bring the boom closer.",
      evidence: { figure: ms },
    });
  }
  if (result.polarity === -1) {
    findings.push({
      code: "voice.polarity",
      weight: "note",
      says: "The boom moves against the lav: one of the two is wired the other way round.",
      remedy: "It was turned round for the mix. Nothing to do.",
      evidence: { figure: ms },
    });
  }
  return findings;
}
