import type { Finding } from "#documents/finding";
import type { LightFigures, LightSource } from "#documents/room-light-result";
import { curveNames } from "#science/colour/given-curve";
import { rightStops } from "#science/light/exposure";
import { miredOf } from "#science/light/mired";
import { openSentence } from "#science/units/number-words";
import { listWords, luxWords, stopsWords } from "./figure-words.ts";
import type { Scene } from "./scene.ts";

/** Ratios this far from the wish are told, stops. */
const ratioSlack = 0.7;
/** Sources under this share of the face's light do not show their colour. Common practice. */
const colourShare = 0.08;
/** Differences from here on are seen on skin, mired. Common practice: an eighth gel is 17. */
const seenMired = 17;
/** Light on the face that changes by more than this through the hours is told, stops. */
const driftStops = 0.4;
/** A key that subtends less than this throws a hard shadow, degrees. Common practice. */
const hardKey = 8;

/** What is wrong or worth knowing about the light. */
export function lightFindings(figures: LightFigures, scene: Scene): Finding[] {
  if (figures.lit.lux < 1)
    return [
      {
        code: "room.light-none",
        weight: "warn",
        says: "No light of the plan reaches the sitter's face.",
        remedy: "Place a key light, open a blind, or say place and hours so that daylight is counted.",
        evidence: { where: "sitter", figure: luxWords(figures.lit.lux) },
      },
    ];
  return [
    ...ratioFindings(figures, scene),
    ...backgroundFindings(figures),
    ...blockedFindings(figures, scene),
    ...colourFindings(figures, scene),
    ...driftFindings(figures),
    ...exposureFindings(figures, scene),
    ...curveFindings(figures, scene),
    ...flickerFindings(figures, scene),
    ...hardnessFindings(figures, scene),
  ];
}

function nameOf(id: string, scene: Scene): string {
  if (id === "sun") return "the sun";
  if (id === "bounce") return "light thrown back by the room";
  const opening = scene.openings.find((o) => o.id === id);
  if (opening) return `the ${opening.name ?? opening.kind}`;
  const light = scene.lights.find((l) => l.id === id);
  return light && light.said.role !== "other" ? `the ${light.said.role} light` : `the light ${id}`;
}

function ratioFindings(figures: LightFigures, scene: Scene): Finding[] {
  const { keyToFillStops: is, wishedKeyToFillStops: wished, lit, shadow } = figures;
  if (is === null || Math.abs(is - wished) <= ratioSlack) return [];
  const target = lit.lux / 2 ** wished;
  const flat = is < wished;
  const most = shadow.from[0];
  return [
    {
      code: flat ? "room.light-flat" : "room.light-contrast",
      weight: Math.abs(is - wished) > 1.5 ? "warn" : "note",
      says: flat
        ? `The face is flatter than wished: ${stopsWords(is)} between the cheeks, ${stopsWords(wished)} wished.`
        : `The face is darker on one side than wished: ${stopsWords(is)} between the cheeks, ${stopsWords(wished)} wished.`,
      remedy: flat
        ? `Take the ${shadow.side} cheek from ${luxWords(shadow.lux)} to ${luxWords(target)}: most of it comes from ${!most || most.id === "bounce" ? "the room's walls, so hang black cloth on that side" : nameOf(most.id, scene)}; or bring the key farther round.`
        : `Bring the ${shadow.side} cheek from ${luxWords(shadow.lux)} to ${luxWords(target)} with a fill or a white board.`,
      evidence: { where: "sitter", figure: `${is.toFixed(1)} stops` },
    },
  ];
}

function backgroundFindings({ subjectToBackgroundStops: stops, background }: LightFigures): Finding[] {
  if (stops === null || background === null || stops >= 0.5) return [];
  const brighter = stops < -0.25;
  return [
    {
      code: "room.light-background",
      weight: brighter ? "warn" : "note",
      says: brighter
        ? `The background gets ${stopsWords(stops)} more light than the face.`
        : "The background is lit as strongly as the face, so the sitter does not stand out by light.",
      remedy:
        "Keep light off the background or move the sitter away from it; a stop under the face is common practice.",
      evidence: { where: "background", figure: luxWords(background.lux) },
    },
  ];
}

/** Lights meant for the face or the hair; the others may well stand behind something. */
const forSitter: ReadonlySet<string> = new Set(["key", "fill", "hair"]);

function blockedFindings({ sources }: LightFigures, scene: Scene): Finding[] {
  return sources
    .filter((s) => s.blocked && scene.lights.some(({ id, said }) => id === s.id && forSitter.has(said.role)))
    .map((s) => ({
      code: "room.light-blocked",
      weight: "warn",
      says: `Something stands between ${nameOf(s.id, scene)} and the sitter.`,
      remedy: "Move the light or what stands in its way.",
      evidence: { where: s.id },
    }));
}

function colourFindings(figures: LightFigures, scene: Scene): Finding[] {
  const share = (s: LightSource): number =>
    Math.max(
      ...[figures.lit, figures.shadow, figures.hair].map(
        (place) => (place.from.find(({ id }) => id === s.id)?.lux ?? 0) / Math.max(1e-9, place.lux),
      ),
    );
  const seen = sources(figures).filter((s) => Math.abs(s.miredOff!) > seenMired && share(s) > colourShare);
  // Windows under one sky are one matter.
  const groups = new Map<string, LightSource[]>();
  for (const s of seen) {
    const group = s.kind === "window" ? `window ${s.kelvin}` : s.id;
    groups.set(group, [...(groups.get(group) ?? []), s]);
  }
  return [...groups.values()].map((group) => colourFinding(group, scene));
}

function colourFinding(group: readonly LightSource[], scene: Scene): Finding {
  const s = group[0]!;
  const off = s.miredOff!;
  const light = scene.lights.find((l) => l.id === s.id)?.light;
  const wanted = 1e6 / (miredOf(s.kelvin!) - off);
  const tunes = light?.kelvinRange && wanted >= light.kelvinRange[0] && wanted <= light.kelvinRange[1];
  const daylight = s.kind !== "light" ? ", or set the lamps to the daylight instead" : "";
  const gel = s.gel
    ? `${/^[aeiou]/.test(s.gel.name) ? "An" : "A"} ${s.gel.name} gel (${s.gel.shift > 0 ? "+" : "−"}${Math.abs(s.gel.shift).toFixed(0)} mired) brings ${group.length > 1 ? "them" : "it"} within ${Math.abs(s.gel.left).toFixed(0)} mired`
    : "No usual gel comes nearer";
  return {
    code: "room.light-colour",
    weight: Math.abs(off) > 50 ? "warn" : "note",
    says: openSentence(
      `${listWords(group.map(({ id }) => nameOf(id, scene)))} ${group.length > 1 ? "are" : "is"} ${Math.abs(off).toFixed(0)} mired ${off > 0 ? "warmer" : "cooler"} than the key.`,
    ),
    remedy: tunes ? `Tune it to ${Math.round(wanted / 50) * 50} K.` : `${gel}${daylight}.`,
    evidence: { where: s.id, figure: `${Math.round(s.kelvin! / 50) * 50} K` },
  };
}

const sources = ({ sources: all }: LightFigures): LightSource[] => all.filter((s) => s.miredOff !== null);

function driftFindings({ daylight, face }: LightFigures): Finding[] {
  if (daylight.length < 2) return [];
  const now = new Set(["bounce", "sun"]);
  const lux = daylight.map((row) => row.lux);
  const least = daylight[lux.indexOf(Math.min(...lux))]!;
  const most = daylight[lux.indexOf(Math.max(...lux))]!;
  const middle = daylight[Math.floor(daylight.length / 2)]!;
  // What lamps and the room give beside the daylight that is counted here.
  const lamps = Math.max(0, face.lux - middle.lux - (face.from.find(({ id }) => now.has(id))?.lux ?? 0));
  const stops = Math.log2((lamps + most.lux) / Math.max(0.1, lamps + least.lux));
  if (stops < driftStops) return [];
  return [
    {
      code: "room.daylight-drift",
      weight: stops > 1 ? "warn" : "note",
      says: `Daylight alone changes the light on the face by ${stopsWords(stops)} between ${[least.at, most.at].sort().join(" and ")}.`,
      remedy: "Cover the windows and light with lamps, or meter again at every break.",
      evidence: { where: "sitter", figure: `${luxWords(least.lux)} to ${luxWords(most.lux)}` },
    },
  ];
}

function exposureFindings({ cameras, lit }: LightFigures, scene: Scene): Finding[] {
  return cameras.flatMap((c): Finding[] => {
    const { off } = c;
    if (off === null || Math.abs(off) <= rightStops) return [];
    const body = scene.cameras.find(({ id }) => id === c.id)!.body;
    const stop = `T${c.tStop.toFixed(1)}`;
    if (off < 0) {
      const iso = body.isos.find((one) => one >= c.iso * 2 ** (-off - rightStops));
      return [
        {
          code: "room.exposure-under",
          weight: "warn",
          says: `Camera ${c.id} is ${stopsWords(off)} too dark at ${stop}, 1/${Math.round(1 / c.shutterSeconds)} s and ISO ${c.iso}.`,
          remedy: `It asks for ${luxWords(c.luxWanted)} on the lit cheek, where the plan has ${luxWords(lit.lux)}${iso === undefined ? "" : `; ISO ${iso} would do`}.`,
          evidence: { where: c.id, figure: `${off.toFixed(1)} stops` },
        },
      ];
    }
    return [
      {
        code: "room.exposure-over",
        weight: off > 1 ? "warn" : "note",
        says: `Camera ${c.id} is ${stopsWords(off)} too bright at ${stop}, 1/${Math.round(1 / c.shutterSeconds)} s and ISO ${c.iso}.`,
        remedy: `Put ${stopsWords(c.ndWanted)} of ND in front${c.ndDensity > 0 ? ` (density ${c.ndDensity.toFixed(1)} comes nearest)` : ""}, close to T${c.right!.tStop.toFixed(1)}, or dim the lights.`,
        evidence: { where: c.id, figure: `${off.toFixed(1)} stops` },
      },
    ];
  });
}

function curveFindings({ cameras }: LightFigures, scene: Scene): Finding[] {
  return cameras
    .filter(({ levels }) => !levels.curveIsKnown)
    .map(({ id }) => ({
      code: "room.curve-unknown",
      weight: "note",
      says: `No published curve is called ${String(scene.cameras.find((c) => c.id === id)!.body.curve)}, so camera ${id}'s levels are told for BT.709.`,
      remedy: `Write one of ${curveNames.join(", ")}, or the log curve's parameters from its sheet.`,
      evidence: { where: id },
    }));
}

function flickerFindings({ cameras }: LightFigures, scene: Scene): Finding[] {
  return cameras
    .filter(({ flicker }) => flicker.rippling > 0.05 && !flicker.isSafe)
    .map(({ id, flicker, shutterSeconds }) => {
      const rate = scene.cameras.find((c) => c.id === id)!.said.frameRate;
      return {
        code: "room.flicker",
        weight: "warn" as const,
        says: `Camera ${id} at 1/${Math.round(1 / shutterSeconds)} s may see lamps on ${flicker.mainsHertz} Hz mains flicker.`,
        remedy:
          flicker.nearest === null
            ? `At ${rate} frames a second no shutter is safe with these lamps; use others, or another frame rate.`
            : `Set the shutter to ${flicker.nearest.toFixed(1)}°.`,
        evidence: {
          where: id,
          figure: `${(100 * flicker.ripple * flicker.rippling).toFixed(1)} % of the lamps' ripple, ${flicker.beatHertz.toFixed(1)} Hz`,
        },
      };
    });
}

function hardnessFindings({ sources: all }: LightFigures, scene: Scene): Finding[] {
  const key = scene.lights.find((l) => l.said.role === "key");
  const source = key && all.find(({ id }) => id === key.id);
  if (!source || source.softness === null || source.softness >= hardKey) return [];
  return [
    {
      code: "room.light-hard",
      weight: "note",
      says: `The key is small from where the sitter sits: the nose's shadow has an edge of ${source.shadowEdgeMm!.toFixed(1)} mm.`,
      remedy: "Bring it nearer or give it a larger modifier for a softer edge.",
      evidence: { where: source.id, figure: `${source.softness.toFixed(1)}°` },
    },
  ];
}
