import type { Plan } from "#documents/plan";
import type { Contradiction } from "#documents/room-result";
import { lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";
import { contradiction as pair } from "./contradiction.ts";
import { theThing } from "./thing-words.ts";

type Named = { readonly id: string };

/** What the plan places against what the kit holds and can do. */
export function kitContradictions(plan: Plan): Contradiction[] {
  return [
    ...sameIds(plan),
    ...missingKit(plan),
    ...cameraLimits(plan),
    ...lightLimits(plan),
    ...slideLimits(plan),
    ...wishLimits(plan),
  ];
}

function sameIds(plan: Plan): Contradiction[] {
  const placed = [
    ...plan.cameras,
    ...plan.lights,
    ...plan.microphones,
    ...plan.slides,
    ...plan.room.openings,
    ...plan.room.furniture,
  ];
  const lists: readonly (readonly [string, readonly Named[]])[] = [
    ["placed things", [...placed, { id: "sitter" }, { id: "interviewer" }]],
    ["bodies", plan.kit.bodies],
    ["lenses", plan.kit.lenses],
    ["lights of the kit", plan.kit.lights],
    ["microphones of the kit", plan.kit.microphones],
    ["sliders", plan.kit.sliders],
    ["stands", plan.kit.stands],
  ];
  return lists.flatMap(([what, things]) => {
    const seen = new Set<string>();
    return things.flatMap(({ id }) => {
      const twice = seen.has(id);
      seen.add(id);
      return twice
        ? [pair("same-id", [id, id], `Two ${what} are called ${id}.`, "Give each its own id.")]
        : [];
    });
  });
}

function missingKit(plan: Plan): Contradiction[] {
  const { kit } = plan;
  const wanted: [string, string, string, string, readonly Named[]][] = [
    ...plan.cameras.flatMap((c): [string, string, string, string, readonly Named[]][] => [
      [c.id, `Camera ${c.id}`, "body", c.body, kit.bodies],
      [c.id, `Camera ${c.id}`, "lens", c.lens, kit.lenses],
      ...(c.stand === undefined
        ? []
        : [
            [c.id, `Camera ${c.id}`, "stand", c.stand, kit.stands] as [
              string,
              string,
              string,
              string,
              readonly Named[],
            ],
          ]),
    ]),
    ...plan.lights.flatMap((l): [string, string, string, string, readonly Named[]][] => [
      [l.id, `Light ${l.id}`, "light", l.light, kit.lights],
      ...(l.modifier === undefined
        ? []
        : [
            [
              l.id,
              `Light ${l.id}`,
              "modifier",
              l.modifier,
              kit.lights.find((k) => k.id === l.light)?.modifiers ?? [],
            ] as [string, string, string, string, readonly Named[]],
          ]),
      ...(l.stand === undefined
        ? []
        : [
            [l.id, `Light ${l.id}`, "stand", l.stand, kit.stands] as [
              string,
              string,
              string,
              string,
              readonly Named[],
            ],
          ]),
    ]),
    ...plan.microphones.map((m): [string, string, string, string, readonly Named[]] => [
      m.id,
      `Microphone ${m.id}`,
      "microphone",
      m.microphone,
      kit.microphones,
    ]),
    ...plan.slides.flatMap((s): [string, string, string, string, readonly Named[]][] => [
      [s.id, `The move of camera ${s.camera}`, "slider", s.slider, kit.sliders],
      [s.id, `The move ${s.id}`, "camera", s.camera, plan.cameras],
    ]),
    ...Object.entries(plan.mains.on).map(
      ([load, circuit]): [string, string, string, string, readonly Named[]] => [
        load,
        load,
        "circuit",
        circuit,
        plan.mains.circuits,
      ],
    ),
  ];
  return wanted.flatMap(([id, who, what, asked, there]) =>
    there.some((thing) => thing.id === asked)
      ? []
      : [
          pair(
            "kit-missing",
            [id, asked],
            `${who} asks for the ${what} ${asked}, and ${there.length === 0 ? `there is no ${what}` : `there is only ${there.map((t) => t.id).join(", ")}`}.`,
            `Add ${asked}, or name one that is there.`,
          ),
        ],
  );
}

function cameraLimits(plan: Plan): Contradiction[] {
  const { units } = plan;
  return plan.cameras.flatMap((camera) => {
    const found: Contradiction[] = [];
    const lens = plan.kit.lenses.find((l) => l.id === camera.lens);
    const body = plan.kit.bodies.find((b) => b.id === camera.body);
    const stand = plan.kit.stands.find((s) => s.id === camera.stand);
    const who = `Camera ${camera.id}`;
    if (lens && lens.focal[0] > lens.focal[1])
      found.push(
        pair(
          "lens-backwards",
          [lens.id, lens.id],
          `${openSentence(theThing(lens.name))} has its longest focal length before its shortest.`,
          "Give the shorter first.",
        ),
      );
    else if (
      lens &&
      camera.focalLength !== undefined &&
      (camera.focalLength < lens.focal[0] - 0.5 || camera.focalLength > lens.focal[1] + 0.5)
    )
      found.push(
        pair(
          "focal-outside-zoom",
          [camera.id, lens.id],
          `${who} is set to ${camera.focalLength} mm, and ${theThing(lens.name)} ${lens.focal[0] === lens.focal[1] ? `is ${lens.focal[0]} mm` : `goes from ${lens.focal[0]} to ${lens.focal[1]} mm`}.`,
          "Set a focal length that the lens has, or take another lens.",
        ),
      );
    if (lens && camera.stop !== undefined && camera.stop < lens.stop * 0.98)
      found.push(
        pair(
          "stop-too-wide",
          [camera.id, lens.id],
          `${who} is set to f/${camera.stop}, and ${theThing(lens.name)} opens to f/${lens.stop}.`,
          "Set the lens's widest stop or a smaller one.",
        ),
      );
    if (lens && camera.focus !== undefined && camera.focus < lens.closeFocus - 0.005)
      found.push(
        pair(
          "focus-too-close",
          [camera.id, lens.id],
          `${who} is focused at ${lengthWords(camera.focus, units)}, and ${theThing(lens.name)} focuses from ${lengthWords(lens.closeFocus, units)} on.`,
          "Set a focus that the lens has.",
        ),
      );
    if (body && !body.frameRates.some((rate) => Math.abs(rate - camera.frameRate) < 0.001))
      found.push(
        pair(
          "frame-rate-missing",
          [camera.id, body.id],
          `${who} is to run at ${camera.frameRate} frames a second, and ${theThing(body.name)} records ${body.frameRates.join(", ")}.`,
          "Choose a frame rate that the body has, or add it to the body.",
        ),
      );
    if (body && camera.iso !== undefined && !body.isos.includes(camera.iso))
      found.push(
        pair(
          "iso-missing",
          [camera.id, body.id],
          `${who} is set to ISO ${camera.iso}, which ${theThing(body.name)} does not have.`,
          "Choose one of the body's steps, or add it.",
        ),
      );
    if (
      stand &&
      camera.height !== undefined &&
      (camera.height > stand.highest + 0.2 || camera.height < stand.lowest - 0.05)
    )
      found.push(
        pair(
          "stand-does-not-reach",
          [camera.id, stand.id],
          `${who} is at ${lengthWords(camera.height, units)}, and ${theThing(stand.name)} stands from ${lengthWords(stand.lowest, units)} to ${lengthWords(stand.highest, units)}.`,
          "Change the height or the stand.",
        ),
      );
    if (stand && body?.weightKg !== undefined && body.weightKg + (lens?.weightKg ?? 0) > stand.loadKg)
      found.push(
        pair(
          "stand-overloaded",
          [camera.id, stand.id],
          `${who} weighs ${(body.weightKg + (lens?.weightKg ?? 0)).toFixed(1)} kg with its lens, and ${theThing(stand.name)} bears ${stand.loadKg} kg.`,
          "Take a stronger stand.",
        ),
      );
    return found;
  });
}

function lightLimits(plan: Plan): Contradiction[] {
  const { units } = plan;
  return plan.lights.flatMap((placed) => {
    const found: Contradiction[] = [];
    const light = plan.kit.lights.find((l) => l.id === placed.light);
    const stand = plan.kit.stands.find((s) => s.id === placed.stand);
    const who = `Light ${placed.id}`;
    if (light && placed.dim < light.dimsTo - 1e-6 && placed.dim > 0)
      found.push(
        pair(
          "dims-too-far",
          [placed.id, light.id],
          `${who} is dimmed to ${Math.round(placed.dim * 100)} %, and ${theThing(light.name)} dims to ${Math.round(light.dimsTo * 100)} %.`,
          "Take it farther away, or put a scrim or net before it.",
        ),
      );
    if (light && placed.kelvin !== undefined) {
      const [low, high] = light.kelvinRange ?? [light.kelvin, light.kelvin];
      if (placed.kelvin < low - 50 || placed.kelvin > high + 50)
        found.push(
          pair(
            "kelvin-outside-light",
            [placed.id, light.id],
            `${who} is set to ${placed.kelvin} K, and ${theThing(light.name)} ${low === high ? `is ${low} K` : `goes from ${low} to ${high} K`}.`,
            "Gel it, or set what it has.",
          ),
        );
    }
    if (stand && placed.height > stand.highest + 0.2)
      found.push(
        pair(
          "stand-does-not-reach",
          [placed.id, stand.id],
          `${who} is at ${lengthWords(placed.height, units)}, and ${theThing(stand.name)} reaches ${lengthWords(stand.highest, units)}.`,
          "Change the height or the stand.",
        ),
      );
    if (stand && light?.weightKg !== undefined && light.weightKg > stand.loadKg)
      found.push(
        pair(
          "stand-overloaded",
          [placed.id, stand.id],
          `${openSentence(theThing(light.name))} weighs ${light.weightKg} kg, and ${theThing(stand.name)} bears ${stand.loadKg} kg.`,
          "Take a stronger stand.",
        ),
      );
    return found;
  });
}

function slideLimits(plan: Plan): Contradiction[] {
  const { units } = plan;
  return plan.slides.flatMap((slide) => {
    const found: Contradiction[] = [];
    const slider = plan.kit.sliders.find((s) => s.id === slide.slider);
    const camera = plan.cameras.find((c) => c.id === slide.camera);
    const body = plan.kit.bodies.find((b) => b.id === camera?.body);
    const lens = plan.kit.lenses.find((l) => l.id === camera?.lens);
    const way = [0, 1, 2].map((k) => slide.to[k]! - slide.from[k]!);
    const metres = Math.hypot(...way);
    if (slider && metres > slider.travel + 0.005)
      found.push(
        pair(
          "slide-too-long",
          [slide.id, slider.id],
          `The move of camera ${slide.camera} goes ${lengthWords(metres, units)}, and ${theThing(slider.name)} travels ${lengthWords(slider.travel, units)}.`,
          "Bring its two ends nearer together, or take a longer slider.",
        ),
      );
    if (slider?.fastest !== undefined && metres / slide.seconds > slider.fastest)
      found.push(
        pair(
          "slide-too-fast",
          [slide.id, slider.id],
          `The move of camera ${slide.camera} goes ${lengthWords(metres, units)} in ${slide.seconds} s, and ${theThing(slider.name)} does at most ${lengthWords(slider.fastest, units)} a second.`,
          "Give it more time.",
        ),
      );
    const load = (body?.weightKg ?? 0) + (lens?.weightKg ?? 0);
    if (slider && load > slider.loadKg)
      found.push(
        pair(
          "slider-overloaded",
          [slide.id, slider.id],
          `Camera ${slide.camera} weighs ${load.toFixed(1)} kg with its lens, and ${theThing(slider.name)} carries ${slider.loadKg} kg.`,
          "Put the lighter camera on it.",
        ),
      );
    if (camera && metres > 0) {
      const t = Math.max(
        0,
        Math.min(
          1,
          ((camera.at[0] - slide.from[0]) * way[0]! + (camera.at[1] - slide.from[1]) * way[1]!) /
            Math.max(1e-9, way[0]! ** 2 + way[1]! ** 2),
        ),
      );
      const off = Math.hypot(
        camera.at[0] - slide.from[0] - way[0]! * t,
        camera.at[1] - slide.from[1] - way[1]! * t,
      );
      if (off > 0.1)
        found.push(
          pair(
            "camera-off-rail",
            [camera.id, slide.id],
            `Camera ${camera.id} stands ${lengthWords(off, units)} beside the rail that it rides.`,
            "Put the camera on the rail, or the rail under the camera.",
          ),
        );
    }
    return found;
  });
}

function wishLimits(plan: Plan): Contradiction[] {
  const { show, hide, pinned } = plan.wishes;
  const things = new Set([...plan.room.furniture, ...plan.room.openings].map(({ id }) => id));
  const places = new Set([
    "sitter",
    "interviewer",
    ...[...plan.cameras, ...plan.lights, ...plan.microphones, ...plan.slides].map(({ id }) => id),
  ]);
  return [
    ...show
      .filter((id) => hide.includes(id))
      .map((id) =>
        pair(
          "show-and-hide",
          [id, id],
          `${id} is to be shown and to be hidden.`,
          "Take it out of one of the two lists.",
        ),
      ),
    ...[...show, ...hide]
      .filter((id) => !things.has(id))
      .map((id) =>
        pair(
          "wish-for-nothing",
          ["wishes", id],
          `The wishes name ${id}, which is no furniture or opening of the room.`,
          "Name one that is there.",
        ),
      ),
    ...pinned
      .filter((id) => !places.has(id))
      .map((id) =>
        pair(
          "pin-on-nothing",
          ["wishes", id],
          `${id} is pinned, and nothing of that name is placed.`,
          "Take the pin out, or place it.",
        ),
      ),
  ];
}
