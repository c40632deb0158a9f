import type { MeasureContext } from "#documents/chapter";
import type { ChapterName } from "#documents/chapter-results";
import { type Html, html, nothing, raw } from "./html.ts";
import type { ReportGround } from "./report-ground.ts";
import {
  clockSection,
  colourSection,
  type Pictures,
  roomSection,
  storySection,
  voiceSection,
  watchSection,
} from "./report-sections.ts";
import { reportStyle } from "./report-style.ts";
import { day, printed } from "./report-words.ts";

/** Beyond this a cut's shots are told by their table alone. */
const mostShots = 120;
const mostProofs = 40;

/** The chapters that the report tells of, in the order of the job. */
const parts: readonly { readonly name: ChapterName; readonly title: string }[] = [
  { name: "room", title: "Room" },
  { name: "kit", title: "Kit" },
  { name: "cards", title: "Cards" },
  { name: "clock", title: "Clock" },
  { name: "watch", title: "Watch" },
  { name: "voice", title: "Voice" },
  { name: "colour", title: "Colour" },
  { name: "story", title: "Story" },
];

const signs = { stop: "‡", warn: "†", note: "*" } as const;
const signNames = {
  stop: "must be dealt with before going on",
  warn: "will be seen or heard",
  note: "worth knowing",
} as const;

/**
 * Writes `report.html`, one page that prints, with its pictures in `report/` beside it.
 *
 * @param cover - Name of the picture of the cut that lies beside the report, for its first sheet; null where there is none.
 * @returns Its path, as every writer of the context answers it.
 */
export async function writeReport(
  ground: ReportGround,
  cover: string | null,
  context: MeasureContext,
): Promise<string> {
  const pictures = new Map<string, string>();
  for (const path of new Set(picturesOf(ground))) {
    context.signal.throwIfAborted();
    const name = `report/${String(pictures.size + 1).padStart(3, "0")}.${path.split(".").at(-1)}`;
    await context.copyMade(path, name);
    pictures.set(path, name);
  }
  return await context.writeText("report.html", reportPage(ground, cover, pictures));
}

/** Paths of all the stills that the report shows, in its order. */
function picturesOf({ room, clock, watch, colour, shots }: ReportGround): string[] {
  const claps = clock?.claps.flatMap((clap) => clap.heardBy.map(({ still }) => still)) ?? [];
  const proofs = watch
    .flatMap((r) => r.ranges)
    .toSorted((p, q) => q.severity - p.severity)
    .slice(0, mostProofs)
    .flatMap(({ before, still, after }) => [before?.path, still, after?.path]);
  const fine = watch.flatMap((r) => (r.overruled ?? []).map(({ still }) => still));
  const stills = colour?.stills.map(({ path }) => path) ?? [];
  const cut = shots.slice(0, mostShots).map((shot) => shot.stills?.[shot.camera]);
  const plans = room ? [room.drawings.plan, ...room.drawings.frames.map(({ path }) => path)] : [];
  return [...plans, ...claps, ...proofs, ...fine, ...stills, ...cut].filter((path) => path !== undefined);
}

/** The whole page, verdicts first. */
export function reportPage(ground: ReportGround, cover: string | null, pictures: Pictures): string {
  const evidence: Partial<Record<ChapterName, Html>> = {
    room: roomSection(ground, pictures),
    clock: clockSection(ground, pictures),
    watch: watchSection(ground, pictures),
    voice: voiceSection(ground),
    colour: colourSection(ground, pictures),
    story: storySection(ground, pictures),
  };
  const told = parts.filter(({ name }) => ground.verdicts[name] !== undefined || ground.findings[name]);
  const body = html`<header><h1>${ground.title}</h1><p class="least">Made on ${day(ground.madeOn)}. Sitting time is told from the start of the master recording.</p>
${cover === null ? nothing : html`<figure class="cover"><img src="${cover}" alt="The cut as it opens"></figure>`}
<ul class="contents">${told.map(({ name, title }) => html`<li><b>${title}</b><span>${printed(ground.verdicts[name] ?? "")}</span></li>`)}</ul></header>
${told.map(
  ({ name, title }) => html`<section class="chapter" id="${name}"><h2>${title}</h2>
${ground.verdicts[name] === undefined ? nothing : html`<p class="verdict">${printed(ground.verdicts[name])}</p>`}
${evidence[name] ?? nothing}
${findings(ground, name)}</section>
`,
)}`;
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
${html`<title>${ground.title}: report</title>`.html}
<style>${raw(reportStyle).html}</style></head>
<body>${body.html}</body></html>
`;
}

function findings(ground: ReportGround, name: ChapterName): Html {
  const list = ground.findings[name] ?? [];
  if (list.length === 0) return nothing;
  return html`<h3>What to know</h3>${list.map(
    ({ weight, says, remedy, evidence }) =>
      html`<div class="finding"><b title="${signNames[weight]}">${signs[weight]}</b><div><div class="says">${printed(says)}</div><div class="remedy">${printed(remedy)}${measured(name, `${says} ${remedy}`, evidence?.figure)}</div></div></div>`,
  )}`;
}

/** What a finding rests on, unless its words or the chapter's own rows above say so already. */
function measured(name: ChapterName, words: string, figure: string | undefined): string {
  if (!figure || name === "watch" || words.includes(figure.replace(/ CIEDE2000$/, ""))) return "";
  return ` Measured: ${printed(figure.replace(/\.$/, ""))}.`;
}
