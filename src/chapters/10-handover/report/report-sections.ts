import type { ColourResult } from "#documents/chapter-results";
import { spectralLocus } from "#science/colour/spectral-locus";
import { xyzToUvPrime } from "#science/colour/uv-prime";
import { chromaticityToXyz, whiteD65 } from "#science/colour/white-points";
import { chromaticityDrawing } from "#science/drawing/chromaticity-drawing";
import { delayDrawing } from "#science/drawing/delay-drawing";
import { type GreyStep, greyDrawing } from "#science/drawing/grey-drawing";
import type { Drawing } from "#science/drawing/marks";
import { seamDrawing } from "#science/drawing/seam-drawing";
import { svgOf } from "#science/drawing/svg-of";
import { voiceDrawing } from "#science/drawing/voice-drawing";
import { lengthWords } from "#science/units/length-words";
import { type Html, html, nothing, raw, table } from "./html.ts";
import type { ReportGround } from "./report-ground.ts";
import {
  exactMoment,
  figure,
  fileName,
  hueOf,
  milliseconds,
  moment,
  printed,
  reportWords,
  screenColour,
} from "./report-words.ts";

/** Where the pictures lie beside the report, by the path that the chapters gave them. */
export type Pictures = ReadonlyMap<string, string>;

const wide = 800;
const half = 388;

const drawn = (drawing: Drawing): Html =>
  html`<figure>${raw(svgOf(drawing))}<figcaption>${drawing.says}</figcaption></figure>`;

const picture = (pictures: Pictures, path: string | undefined, caption: Html, alt: string): Html => {
  const at = path === undefined ? undefined : pictures.get(path);
  return at === undefined
    ? nothing
    : html`<figure><img src="${at}" alt="${alt}"><figcaption>${caption}</figcaption></figure>`;
};

const device = (name: string): Html => html`<b class="${hueOf(name)}">${name}</b>`;

/** The plan to scale, what each camera sees, and the figures to set it by. */
export function roomSection({ room }: ReportGround, pictures: Pictures): Html {
  if (!room) return nothing;
  const { cameras, units, drawings } = room;
  const length = (metres: number): string => lengthWords(metres, units);
  return html`<div class="plan">${picture(pictures, drawings.plan, html`The plan, to scale.`, "The plan of the room, to scale")}</div><div class="two frames">${drawings.frames.map(
    ({ camera, path }) =>
      picture(
        pictures,
        path,
        html`${device(camera)}: what camera ${camera} sees; the line is the edge of its frame`,
        `What camera ${camera} sees`,
      ),
  )}</div>${table(
    "The cameras",
    [
      { head: "Camera" },
      { head: "Lens", numeric: true },
      { head: "To the eyes", numeric: true },
      { head: "Angle seen", numeric: true },
      { head: "Shot" },
      { head: "Headroom", numeric: true },
      { head: "Off the eyeline", numeric: true },
      { head: "Sharp from", numeric: true },
      { head: "to", numeric: true },
    ],
    cameras.map((c) => [
      device(c.id),
      `${figure(c.focalMm, c.focalMm % 1 === 0 ? 0 : 1)} mm f/${figure(c.stop, 1)}`,
      length(c.sitterMetres),
      `${figure(c.fieldOfView.width, 1)}°`,
      c.shot.is,
      `${figure(c.shot.headroom * 100, 0)} %`,
      `${figure(c.eyeline.degrees, 0)}°`,
      length(c.focus.near),
      c.focus.far === null ? "∞" : length(c.focus.far),
    ]),
  )}`;
}

/** Recordings by their place, every comparison with its line, and the frames of the claps. */
export function clockSection({ clock }: ReportGround, pictures: Pictures): Html {
  if (!clock) return nothing;
  const byHash = new Map(clock.recordings.map((r) => [r.hash, r]));
  const pairs = new Map<string, typeof clock.edges>();
  for (const edge of clock.edges) {
    const key = `${edge.reference} ${edge.other}`;
    pairs.set(key, [...(pairs.get(key) ?? []), edge]);
  }
  const comparisons = [...pairs.values()].flatMap((edges): Html[] => {
    const reference = byHash.get(edges[0]!.reference);
    const other = byHash.get(edges[0]!.other);
    if (!reference || !other) return [];
    const pieces = edges.toSorted((p, q) => p.from - q.from);
    const pair = {
      reference: fileName(reference.path),
      other: fileName(other.path),
      hue: hueOf(other.device),
      pieces,
    };
    return [drawn(delayDrawing(pair, { width: half, height: 250 }, reportWords))];
  });
  const claps = clock.claps.filter((clap) => clap.heardBy.some((h) => h.still && pictures.has(h.still)));
  return html`${table(
    "The recordings on one clock",
    [
      { head: "Recording" },
      { head: "Placed by" },
      { head: "Begins, s", numeric: true },
      { head: "Rate, ppm", numeric: true },
      { head: "Picture later by", numeric: true },
      { head: "Sure to", numeric: true },
    ],
    clock.recordings.map((r) => [
      html`${device(r.device)} ${fileName(r.path)}`,
      r.path === clock.master ? "the master" : r.placedBy === "none" ? "not placed" : placers[r.placedBy],
      r.offset === null ? "–" : r.path === clock.master ? "0" : figure(r.offset, 4),
      r.ratePpm === null ? "–" : r.path === clock.master ? "0" : figure(r.ratePpm, 1),
      r.offset === null || r.pictureOffset === null || r.path === clock.master
        ? "–"
        : milliseconds(r.pictureOffset - r.offset),
      r.uncertainty === null || r.path === clock.master ? "–" : `±${milliseconds(r.uncertainty)}`,
    ]),
  )}${comparisons.length > 0 ? html`<h3>Each comparison, and what its line leaves</h3><div class="two">${comparisons}</div>` : nothing}${claps.map(
    (clap) =>
      html`<div class="row"><h3>A clap at ${exactMoment(clap.at)} of the sitting</h3><div class="pictures">${clap.heardBy.map(
        (heard) => {
          const r = byHash.get(heard.hash);
          return r
            ? picture(
                pictures,
                heard.still,
                html`${device(r.device)} ${fileName(r.path)}, ${figure(heard.localTime, 3)} s${heard.frame === undefined ? "" : `, frame ${heard.frame}`}`,
                `Camera ${r.device} as the clap is heard`,
              )
            : nothing;
        },
      )}</div></div>`,
  )}`;
}

const placers = {
  sound: "sound",
  slate: "the slate",
  timecode: "timecode",
  deviceClock: "its own clock",
} as const;

/** Each range that the cut avoids, between good frames; and what a person called fine. */
export function watchSection({ watch }: ReportGround, pictures: Pictures): Html {
  const rows = watch.flatMap((r) => [
    ...r.ranges.map((range) => ({ r, range, isFine: false })),
    ...(r.overruled ?? []).map((range) => ({
      r,
      range: { ...range, before: undefined, after: undefined },
      isFine: true,
    })),
  ]);
  return html`${rows.map(
    ({ r, range, isFine }) =>
      html`<div class="row"><h3>${device(r.device)} ${range.kind.replace("-", " ")}, ${exactMoment(range.start)} to ${exactMoment(range.end)} of ${fileName(r.path)}${isFine ? ", called fine" : ""}</h3><p class="caption">${printed(range.evidence)}</p><div class="pictures">${picture(
        pictures,
        range.before?.path,
        html`before, ${exactMoment(range.before?.at ?? 0)}`,
        "before",
      )}${picture(pictures, range.still, html`${range.kind.replace("-", " ")}, ${exactMoment(range.stillAt ?? range.start)}`, range.kind)}${picture(
        pictures,
        range.after?.path,
        html`after, ${exactMoment(range.after?.at ?? 0)}`,
        "after",
      )}</div></div>`,
  )}`;
}

/** Both microphones and the dialogue; which carried what, and why. */
export function voiceSection({ voice }: ReportGround): Html {
  const roleOf = (fault: (typeof voice.faults)[number]): string | undefined =>
    voice.roles.find((r) => r.path === fault.path && r.channel === fault.channel)?.role;
  const envelopes = voice.envelopes.map((e) => ({
    ...e,
    chosen:
      e.name === "dialogue"
        ? [{ start: e.from, end: e.from + e.peaks.length / e.perSecond }]
        : voice.segments.filter((s) => s.source === e.name || s.source === "both"),
    faults: voice.faults
      .filter((fault) => roleOf(fault) === e.name)
      .map(({ start, end, kind }) => ({ start, end, name: kind === "clipping" ? "clipped" : kind })),
  }));
  const { integrated, truePeak, range, target } = voice.loudness;
  return html`${envelopes.length > 0 ? drawn(voiceDrawing(envelopes, { width: wide, height: 420 }, reportWords)) : nothing}${table(
    "The dialogue",
    [{ head: "" }, { head: "", numeric: true }],
    [
      ["Loudness (ITU-R BS.1770)", `${figure(integrated, 1)} LUFS, ${figure(target, 1)} wanted`],
      ["Highest true peak", `${figure(truePeak, 1)} dBTP`],
      ["Loudness range", `${figure(range, 1)} LU`],
      ["The boom heard it later by", voice.delay === null ? "–" : milliseconds(voice.delay)],
    ],
  )}${table(
    "Which microphone, when",
    [{ head: "From" }, { head: "To" }, { head: "Microphone" }, { head: "Why" }],
    voice.segments.map((s) => [
      exactMoment(s.start),
      exactMoment(s.end),
      s.source,
      s.said ? "chosen by hand" : printed(s.why),
    ]),
  )}`;
}

type Match = NonNullable<ColourResult["match"]>;

/** Faces and chart before and after, patches at a seam, the plane of colours and the greys. */
export function colourSection({ colour }: ReportGround, pictures: Pictures): Html {
  if (!colour) return nothing;
  const stillNames = [
    ["a", "A as recorded"],
    ["b", "B as recorded"],
    ["b-matched", "B matched"],
    ["a-chart", "A, the chart"],
    ["b-chart", "B, the chart"],
  ] as const;
  const stills = stillNames.map(([name, what]) => {
    const still = colour.stills.find((s) => s.name === name);
    return picture(pictures, still?.path, html`${what}`, what);
  });
  const { match } = colour;
  return html`<div class="pictures mounted">${stills}</div>${match && match.patches.length > 0 ? matchFigures(match, colour) : nothing}`;
}

function matchFigures(match: Match, { charts }: NonNullable<ReportGround["colour"]>): Html {
  const plate = (title: string, shown: "before" | "after"): Html =>
    drawn(
      seamDrawing(
        title,
        match.patches.map((p) => ({
          name: p.name,
          left: screenColour(p.aRgb),
          right: screenColour(shown === "before" ? p.beforeRgb : p.afterRgb),
          difference: p[shown],
        })),
        half,
        reportWords,
      ),
    );
  const placed = match.patches.flatMap(({ name, aRgb, aUv, beforeUv, afterUv }) =>
    aUv && beforeUv && afterUv
      ? [{ name, fill: screenColour(aRgb), a: aUv, before: beforeUv, after: afterUv }]
      : [],
  );
  const white = xyzToUvPrime(chromaticityToXyz(whiteD65));
  const codes = (camera: string, index: number) =>
    charts.find((c) => c.camera === camera && !c.forCurve)?.patches.find((p) => p.index === index)?.rgb ??
    null;
  const greys = match.patches
    .filter(({ index }) => index >= 18)
    .map(
      (p): GreyStep => ({
        name: p.name,
        fill: screenColour(p.aRgb),
        aCode: codes(match.to, p.index),
        bCode: codes(match.from, p.index),
        a: p.aRgb,
        before: p.beforeRgb,
        after: p.afterRgb,
      }),
    );
  return html`<div class="two">${plate("As recorded", "before")}${plate("Matched", "after")}</div>${
    placed.length > 0
      ? drawn(
          chromaticityDrawing(
            placed,
            { locus: spectralLocus, white },
            { width: wide, to: match.to, from: match.from },
            reportWords,
          ),
        )
      : nothing
  }${greys.length > 1 ? drawn(greyDrawing(greys, { width: wide, to: match.to, from: match.from }, reportWords)) : nothing}${table(
    `${match.from} against ${match.to}, CIEDE2000 (${match.model})`,
    [{ head: "" }, { head: "Mean", numeric: true }, { head: "Worst", numeric: true }],
    (
      [
        ["As recorded, exposure taken out", match.before],
        ["Matched", match.after],
        ["Matched, patches left out of the fit", match.leftOut],
      ] as const
    ).map(([name, d]) => [name, figure(d.mean, 2), figure(d.max, 2)]),
  )}`;
}

/** The cut shot by shot, with a picture of each while there is room. */
export function storySection({ shots }: ReportGround, pictures: Pictures): Html {
  const shown = shots.map((shot) =>
    picture(
      pictures,
      shot.stills?.[shot.camera],
      html`${device(shot.camera)} ${exactMoment(shot.start)} to ${exactMoment(shot.end)}`,
      `Camera ${shot.camera} at ${moment(shot.start)} of the cut`,
    ),
  );
  return html`<div class="shots">${shown}</div>${table(
    "The cut",
    [{ head: "From" }, { head: "To" }, { head: "Camera" }, { head: "Sitting time" }, { head: "Why" }],
    shots.map((s) => [
      exactMoment(s.start),
      exactMoment(s.end),
      s.camera,
      exactMoment(s.sittingStart),
      printed(s.why),
    ]),
  )}`;
}
