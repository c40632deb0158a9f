import { type EdlCut, mostEdlEvents, writeEdl } from "#formats/edl/write-edl";
import { canDropFrames, type Program, type ProgramShot, sameRate, sourceFrame } from "./program.ts";

/** The reel that names the dialogue track. */
const dialogueReel = "DIALOGUE";

/**
 * The cut as edit decision lists: pictures by reel, and the dialogue as one sound event for each run. One list numbers
 * 999 events; a longer cut comes as several, each going on where the one before ends.
 *
 * @param dialogueStart - Sitting time of the dialogue track's first sample, whose label is 00:00:00:00.
 */
export function programEdls(program: Program, dialogueStart: number): string[] {
  const { rate, firstFrame } = program;
  const perSecond = rate.num / rate.den;
  const sound = program.runs.map(
    (run): EdlCut => ({
      reel: dialogueReel,
      channel: "A",
      sourceIn: Math.max(0, Math.round((run.sittingStart - dialogueStart) * perSecond)),
      recordIn: firstFrame + run.startFrame,
      frames: run.frames,
      sourceDropFrame: false,
      clipName: "dialogue.wav",
    }),
  );
  const pictures = program.shots.map(
    (shot): EdlCut => ({
      reel: shot.source.reel,
      channel: "V",
      sourceIn: sourceInAtProgramRate(shot, program),
      recordIn: firstFrame + shot.startFrame,
      frames: shot.frames,
      sourceDropFrame: shot.source.dropFrame && canDropFrames(rate),
      clipName: fileName(shot.event.path),
      comments: commentsOf(shot, program),
    }),
  );
  const cuts = [...sound, ...pictures].sort(
    (a, b) => a.recordIn - b.recordIn || b.channel.localeCompare(a.channel),
  );
  const lists: string[] = [];
  for (let at = 0; at < cuts.length; at += mostEdlEvents)
    lists.push(
      writeEdl({
        title: program.title.toUpperCase(),
        rate,
        dropFrame: program.dropFrame,
        cuts: cuts.slice(at, at + mostEdlEvents),
      }),
    );
  return lists;
}

/** Lists have one rate: a source of another is counted at the program's, from its own start label. */
function sourceInAtProgramRate(shot: ProgramShot, { rate }: Program): number {
  const { source } = shot;
  const own = source.firstFrame + sourceFrame(shot);
  if (sameRate(source.rate, rate)) return own;
  return Math.round((own * source.rate.den * rate.num) / (source.rate.num * rate.den));
}

function commentsOf({ event, source, crease }: ProgramShot, { rate }: Program): string[] {
  return [
    `SOURCE FILE: ${event.path}`,
    ...(event.scale === undefined ? [] : [`SIZE ${Math.round(event.scale * 100)} PERCENT`]),
    ...(sameRate(source.rate, rate) ? [] : [`SOURCE RATE ${source.rate.num}/${source.rate.den} CONFORMED`]),
    ...(crease ? [`LEFT OUT BEFORE: ${crease.seconds.toFixed(2)} S, ${crease.why}`] : []),
  ];
}

/** The last part of a path, whichever way its slashes lean. */
export function fileName(path: string): string {
  return path.split(/[\\/]/).at(-1) ?? path;
}
