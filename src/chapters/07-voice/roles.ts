import type { ChannelRole, Recording } from "#documents/recording";
import { type ChannelSigns, isSilent, isTimecode } from "./channel-signs.ts";

/** How two channels of one recording stand to each other. */
export interface PairSigns {
  readonly first: number;
  readonly second: number;
  /** Seconds by which `second` lags `first`. */
  readonly lagSeconds: number;
  /** Height of the whitened correlation, 1 for the same signal, about 0 for strangers. */
  readonly height: number;
}

export interface RecordingSigns {
  readonly recording: Recording;
  readonly channels: readonly ChannelSigns[];
  readonly pairs: readonly PairSigns[];
}

export interface RoleOpinion {
  readonly recording: Recording;
  readonly channel: number;
  readonly role: ChannelRole;
  /** 1 where a person said it; under 0.6 a guess that a person should look at. */
  readonly confidence: number;
  /** In words, for a finding. */
  readonly because: string;
}

const lossyCodecs = new Set(["aac", "mp3", "mp2", "opus", "vorbis", "ac3", "eac3"]);
/** Two capsules in one housing stand at most about 15 cm apart; a boom hangs farther off than a lav. */
const leastBoomLagSeconds = 0.0005;
const mostBoomLagSeconds = 0.02;
const leastHeight = 0.03;

const range = (signs: ChannelSigns): number => signs.speechDb - signs.floorDb;

/**
 * What each channel carries. What a person said stands; the rest is inferred.
 *
 * Two microphones in one recording that hear the same voice 0.5 to 20 ms apart: the one that hears it first is
 * worn (lav), the other hangs (boom). Two that hear it at once are a camera's own pair (scratch). A separate
 * recorder's single channel is the lav where there is none yet. Nothing here names a maker.
 */
export function inferRoles(recordings: readonly RecordingSigns[]): RoleOpinion[] {
  const opinions: RoleOpinion[] = [];
  for (const signs of recordings) opinions.push(...withinRecording(signs));
  agreeWithinDevice(opinions);
  nameTheRest(opinions, recordings);
  return opinions;
}

function withinRecording({ recording, channels, pairs }: RecordingSigns): RoleOpinion[] {
  const opinion = (channel: number, role: ChannelRole, confidence: number, because: string): RoleOpinion => ({
    recording,
    channel,
    role,
    confidence,
    because,
  });
  const settled = new Map<number, RoleOpinion>();
  for (const { channel, role } of recording.roles)
    settled.set(channel, opinion(channel, role, 1, "a person said so"));
  for (const signs of channels) {
    if (settled.has(signs.channel)) continue;
    if (isSilent(signs))
      settled.set(signs.channel, opinion(signs.channel, "silent", 0.95, "nothing is on it"));
    else if (isTimecode(signs))
      settled.set(signs.channel, opinion(signs.channel, "timecode", 0.95, "it is a timecode"));
  }
  const open = channels.filter(({ channel }) => !settled.has(channel));
  const said = (role: ChannelRole): RoleOpinion | undefined =>
    [...settled.values()].find((o) => o.role === role);

  const apart = pairs
    .filter(({ first, second, lagSeconds, height }) => {
      const lag = Math.abs(lagSeconds);
      const bothFree = [first, second].every((c) => open.some((signs) => signs.channel === c));
      return bothFree && height > leastHeight && lag >= leastBoomLagSeconds && lag <= mostBoomLagSeconds;
    })
    .sort((a, b) => b.height - a.height)[0];
  if (apart && !said("lav") && !said("boom")) {
    const leads = apart.lagSeconds > 0;
    const [lav, boom] = leads ? [apart.first, apart.second] : [apart.second, apart.first];
    const signsOf = (channel: number): ChannelSigns => channels.find((c) => c.channel === channel)!;
    // The worn microphone is the nearer one, so it also stands farther above the room.
    const agrees = range(signsOf(lav)) >= range(signsOf(boom)) - 3;
    const ms = (Math.abs(apart.lagSeconds) * 1000).toFixed(1);
    const because = `channel ${lav} hears the voice ${ms} ms before channel ${boom}`;
    const confidence = agrees ? 0.9 : 0.5;
    settled.set(lav, opinion(lav, "lav", confidence, because));
    settled.set(boom, opinion(boom, "boom", confidence, because));
  } else if (open.length === 1 && said("lav") && !said("boom")) {
    const only = open[0]!.channel;
    settled.set(only, opinion(only, "boom", 0.6, "it is the other microphone beside the lav"));
  } else if (open.length === 1 && said("boom") && !said("lav")) {
    const only = open[0]!.channel;
    settled.set(only, opinion(only, "lav", 0.6, "it is the other microphone beside the boom"));
  }
  // `scratch` at nought is an open question that the other recordings may answer.
  return channels.map(({ channel }) => settled.get(channel) ?? opinion(channel, "scratch", 0, ""));
}

/** Files of one device were cabled alike: the surest answer for a channel holds for all of them. */
function agreeWithinDevice(opinions: RoleOpinion[]): void {
  opinions.forEach((mine, i) => {
    if (mine.confidence >= 1 || mine.role === "silent") return;
    const best = opinions
      .filter(
        (o) =>
          o.recording.device === mine.recording.device && o.channel === mine.channel && o.role !== "silent",
      )
      .sort((a, b) => b.confidence - a.confidence)[0]!;
    if (best.confidence > mine.confidence) {
      opinions[i] = { ...mine, role: best.role, confidence: best.confidence * 0.95, because: best.because };
    }
  });
}

/** Channels that nothing inside their own recording explained. */
function nameTheRest(opinions: RoleOpinion[], recordings: readonly RecordingSigns[]): void {
  const signsOf = (o: RoleOpinion): ChannelSigns =>
    recordings.find((r) => r.recording === o.recording)!.channels.find((c) => c.channel === o.channel)!;
  const isOpen = (o: RoleOpinion): boolean => o.confidence === 0;
  const closeness = (o: RoleOpinion): number =>
    range(signsOf(o)) +
    (o.recording.kind === "sound" ? 10 : 0) -
    (lossyCodecs.has(o.recording.probe.sound?.codec ?? "") ? 10 : 0);
  const ranked = opinions.filter(isOpen).sort((a, b) => closeness(b) - closeness(a));
  for (const o of ranked) {
    // An answer for another file of the same device may have settled this one already.
    const now = opinions.find((other) => other.recording === o.recording && other.channel === o.channel)!;
    if (!isOpen(now)) continue;
    const has = (role: ChannelRole): boolean =>
      opinions.some((other) => other.role === role && other.confidence > 0);
    const give = (role: ChannelRole, confidence: number, because: string): void => {
      opinions.forEach((other, i) => {
        const sameWire = other.recording.device === o.recording.device && other.channel === o.channel;
        if (sameWire && isOpen(other)) opinions[i] = { ...other, role, confidence, because };
      });
    };
    const device = o.recording.kind === "sound" ? "a separate recorder" : `camera ${o.recording.device}`;
    if (o.recording.kind === "sound" && !has("lav"))
      give("lav", 0.7, `it is the cleanest channel of ${device}`);
    else if (o.recording.kind === "sound" && !has("boom"))
      give("boom", 0.5, `it is the second channel of ${device}`);
    else if (o.recording.kind === "sound")
      give("interviewer", 0.4, `${device} carries it beside lav and boom`);
    else give("scratch", has("lav") ? 0.8 : 0.5, `${device} heard it with its own microphone`);
  }
}
