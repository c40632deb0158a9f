import type { CloseLook, MicLook } from "./close-look.ts";
import { joined, type Stretch } from "./damage.ts";
import { rubbingOf } from "./rubbing.ts";
import type { FaultKind, MicFault } from "./segments.ts";
import { windOf } from "./wind.ts";

/** Under this distance between voice and room noise a person hears the noise first. */
const leastRangeDb = 18;
/** Hum is told when it is less than this under the voice. */
const mostHumBelowVoiceDb = 50;
const joinSeconds = 0.4;
const padSeconds = 0.05;

/** Faults of each microphone, track time, in order of start. */
export function faultsOf(look: CloseLook, duration: number): { lav: MicFault[]; boom: MicFault[] } {
  const boomWind = look.boom ? windOf(look.boom.levels, look.boom.speech) : [];
  const lavWind = look.lav ? windOf(look.lav.levels, look.lav.speech) : [];
  const both = (a: Stretch, others: readonly Stretch[]): boolean =>
    others.some((b) => a.start < b.end && b.start < a.end);
  const of = (kind: FaultKind, stretches: readonly Stretch[], pad = padSeconds): MicFault[] =>
    joined(stretches, joinSeconds, pad).map((s) => ({
      start: s.start,
      end: Math.min(duration, s.end),
      kind,
    }));

  const lav: MicFault[] = [];
  if (look.lav) {
    // Rumble on the lav alone is cloth; wind reaches the boom as well.
    const wind = look.boom ? lavWind.filter((s) => both(s, boomWind)) : lavWind;
    const rubbing = rubbingOf(
      look.lav.levels,
      look.lav.speech,
      look.boom?.levels ?? null,
      look.boom?.speech ?? null,
    );
    lav.push(
      ...of(
        "rustle",
        rubbing.filter((s) => !both(s, wind)),
        0.04,
      ),
      ...of("wind", wind),
      ...alone(look.lav),
    );
  }
  const boom: MicFault[] = look.boom ? [...of("wind", boomWind), ...alone(look.boom)] : [];
  const inOrder = (list: MicFault[]): MicFault[] => list.sort((a, b) => a.start - b.start);
  return { lav: inOrder(lav), boom: inOrder(boom) };

  function alone(mic: MicLook): MicFault[] {
    const list = [...of("clipping", mic.clipped), ...of("dropout", mic.dropouts)];
    if (mic.hum && mic.hum.levelDb > mic.speech.voiceDb - mostHumBelowVoiceDb) {
      list.push({ start: 0, end: duration, kind: "hum" });
    }
    if (mic.speech.voiceDb - mic.speech.floorDb < leastRangeDb)
      list.push({ start: 0, end: duration, kind: "noise" });
    return list;
  }
}
