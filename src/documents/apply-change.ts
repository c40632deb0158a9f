import type { Plan } from "./plan.ts";
import type { Change, RoomPicture, Said, StorySaid } from "./said.ts";
import type { Sitting } from "./sitting.ts";

/** What is left of a stretch shorter than this is rounding, not meaning; seconds. */
const hair = 1e-3;

interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Stretches without what lies in [from, to), each part with all else that its stretch carried. */
function without<T extends Stretch>(list: readonly T[], { from, to }: Stretch): T[] {
  return list.flatMap((one) => {
    if (one.to <= from || one.from >= to) return [one];
    return [
      { ...one, to: Math.min(one.to, from) },
      { ...one, from: Math.max(one.from, to) },
    ].filter((part) => part.to - part.from > hair);
  });
}

/** Stretches with one more; those that it touches become one with it, and all are in order. */
function withStretch(list: readonly Stretch[], { from, to }: Stretch): { from: number; to: number }[] {
  const touching = list.filter((one) => one.to >= from - hair && one.from <= to + hair);
  const joined = {
    ...Object.assign({}, ...touching),
    from: Math.min(from, ...touching.map((one) => one.from)),
    to: Math.max(to, ...touching.map((one) => one.to)),
  } as { from: number; to: number };
  return [...list.filter((one) => !touching.includes(one)), joined].sort((a, b) => a.from - b.from);
}

/**
 * What is said once a change is made. Pure: a page may make it at once, before the server has answered, and gets the
 * same. Stretches stay in order and apart, so that what is said of a moment is plain; a chart is said once a recording.
 */
export function applyChange(said: Said, change: Change): Said {
  if (change.kind === "title") return { ...said, title: change.title };
  if (change.kind === "keepQuestions") return { ...said, keepQuestions: change.keepQuestions };
  if (change.kind === "longestPause") return { ...said, longestPause: change.longestPause };
  if (change.kind === "loudness") return { ...said, loudnessTarget: change.loudnessTarget };
  if (change.kind === "roomPictures") return changedRoomPictures(said, change.pictures);
  if (change.kind === "plan") return changedPlan(said, change.plan);
  if (change.kind === "chart") {
    const others = said.charts.filter(({ hash }) => hash !== change.hash);
    if (change.corners === null) return { ...said, charts: others };
    const { hash, at, corners } = change;
    return { ...said, charts: [...others, { hash, at, corners }] };
  }
  if (change.kind === "source") {
    const { from, to, source } = change;
    const sources = without(said.sources, change);
    if (source !== null) sources.push({ from, to, source });
    return { ...said, sources: sources.sort((a, b) => a.from - b.from) };
  }
  if (change.kind === "mark") {
    const { at, words } = change;
    const marks = said.marks.filter((mark) => Math.abs(mark.at - at) > hair);
    if (words !== null) marks.push({ at, words });
    return { ...said, marks: marks.sort((a, b) => a.at - b.at) };
  }
  if (change.kind === "transcript") {
    const { file, as } = change;
    const transcripts = said.transcripts.filter((one) => one.file !== file);
    if (as) transcripts.push({ file, ...as });
    return { ...said, transcripts: transcripts.sort((a, b) => (a.file < b.file ? -1 : 1)) };
  }
  if (change.kind === "picture") return { ...said, pictures: changedPictures(said.pictures, change) };
  if (change.kind === "microphoneDistance") {
    const { [change.device]: _, ...others } = said.microphoneDistances;
    const own = change.metres === null ? {} : { [change.device]: change.metres };
    return { ...said, microphoneDistances: { ...others, ...own } };
  }
  return { ...said, story: changedStory(said.story, change) };
}

function changedRoomPictures({ roomPictures: _, ...said }: Said, pictures: readonly RoomPicture[]): Said {
  return pictures.length > 0 ? { ...said, roomPictures: pictures } : said;
}

/** The first change of a plan must give what every plan has; parts of none are nothing. */
function changedPlan(said: Said, part: Partial<Plan> | null): Said {
  const { plan, ...rest } = said;
  if (part === null) return rest;
  const whole = { ...plan, ...part };
  const isWhole = whole.kind && whole.version && whole.room && whole.sitter && whole.interviewer;
  return isWhole ? { ...rest, plan: whole as Plan } : said;
}

function changedPictures(
  pictures: Said["pictures"],
  { hash, from, to, says }: Extract<Change, { kind: "picture" }>,
): Said["pictures"] {
  const others = pictures.filter((one) => one.hash !== hash);
  const own = without(
    pictures.filter((one) => one.hash === hash),
    { from, to },
  );
  if (says !== null) own.push({ hash, from, to, says });
  return [...others, ...own].sort((a, b) => (a.hash === b.hash ? a.from - b.from : a.hash < b.hash ? -1 : 1));
}

function changedStory(
  story: StorySaid,
  change: Extract<Change, { kind: "angle" | "keep" | "fold" | "unsay" }>,
): StorySaid {
  const { from, to } = change;
  if (change.kind === "angle") {
    const angles = without(story.angles, change);
    if (change.camera !== null) angles.push({ from, to, camera: change.camera });
    return { ...story, angles: angles.sort((a, b) => a.from - b.from) };
  }
  const kept = without(story.kept, change);
  const folded = without(story.folded, change);
  if (change.kind === "unsay") return { ...story, kept, folded };
  return change.kind === "keep"
    ? { ...story, folded, kept: withStretch(kept, change) }
    : { ...story, kept, folded: withStretch(folded, change) };
}

/**
 * Whether two changes, made without knowledge of one another, speak of the same thing and say otherwise. The order of
 * two that do not is of no matter.
 */
export function changesConflict(a: Change, b: Change): boolean {
  if (JSON.stringify(a) === JSON.stringify(b)) return false;
  if ("from" in a && "from" in b) {
    // Giving back, folding away and forgetting speak of one thing: how long the cut is.
    const lengths = ["keep", "fold", "unsay"];
    const bothLengths = lengths.includes(a.kind) && lengths.includes(b.kind) && a.kind !== b.kind;
    const isSame =
      a.kind === "picture" && b.kind === "picture"
        ? a.hash === b.hash
        : a.kind === b.kind && !lengths.includes(a.kind);
    return (isSame || bothLengths) && a.from < b.to - hair && b.from < a.to - hair;
  }
  if (a.kind === "mark" && b.kind === "mark") return Math.abs(a.at - b.at) <= hair;
  if (a.kind === "transcript" && b.kind === "transcript") return a.file === b.file;
  if (a.kind === "chart" && b.kind === "chart") return a.hash === b.hash;
  if (a.kind === "plan" && b.kind === "plan")
    return a.plan === null || b.plan === null || Object.keys(a.plan).some((key) => key in b.plan!);
  if (a.kind === "microphoneDistance" && b.kind === "microphoneDistance") return a.device === b.device;
  return a.kind === b.kind;
}

/** What a sitting says of all that a page can change. */
export function saidOf({
  title,
  story,
  charts,
  voice,
  pictures,
  marks,
  transcripts,
  plan,
  roomPictures,
  decisions,
}: Sitting): Said {
  return {
    title,
    story: story ?? { angles: [], kept: [], folded: [] },
    charts: charts ?? [],
    sources: voice?.sources ?? [],
    pictures: pictures ?? [],
    marks: marks ?? [],
    transcripts: transcripts ?? [],
    microphoneDistances: decisions.microphoneDistances ?? {},
    keepQuestions: decisions.keepQuestions,
    longestPause: decisions.longestPause,
    loudnessTarget: decisions.loudnessTarget,
    ...(roomPictures && roomPictures.length > 0 ? { roomPictures } : {}),
    ...(plan ? { plan } : {}),
  };
}

/** The sitting with this said in it, and all else as it was. Where nothing is said of a thing, no key is added. */
export function withSaid(sitting: Sitting, said: Said): Sitting {
  const { story, charts, voice, pictures, marks, transcripts, roomPictures, plan: _, ...rest } = sitting;
  const { microphoneDistances, ...decisions } = sitting.decisions;
  const { title, keepQuestions, longestPause, loudnessTarget } = said;
  const saysOfCut =
    story !== undefined || Object.values(said.story).some((list) => Array.isArray(list) && list.length > 0);
  const saysOfDistances =
    microphoneDistances !== undefined || Object.keys(said.microphoneDistances).length > 0;
  return {
    ...rest,
    title,
    decisions: {
      ...decisions,
      ...(saysOfDistances ? { microphoneDistances: said.microphoneDistances } : {}),
      keepQuestions,
      longestPause,
      loudnessTarget,
    },
    ...(said.plan ? { plan: said.plan } : {}),
    ...(saysOfCut ? { story: said.story } : {}),
    ...(charts !== undefined || said.charts.length > 0 ? { charts: [...said.charts] } : {}),
    ...(voice !== undefined || said.sources.length > 0
      ? { voice: { ...voice, sources: [...said.sources] } }
      : {}),
    ...(pictures !== undefined || said.pictures.length > 0 ? { pictures: [...said.pictures] } : {}),
    ...(marks !== undefined || said.marks.length > 0 ? { marks: [...said.marks] } : {}),
    ...(transcripts !== undefined || said.transcripts.length > 0
      ? { transcripts: [...said.transcripts] }
      : {}),
    ...(roomPictures !== undefined || said.roomPictures
      ? { roomPictures: [...(said.roomPictures ?? [])] }
      : {}),
  };
}
