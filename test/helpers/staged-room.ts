import { type Plan, planSchema } from "#documents/plan";

/** A loft 8 by 6 m with two cameras, three lights and a boom, staged by hand so that every hard rule is kept. */
export const stagedRoom = (): Plan =>
  planSchema.parse({
    kind: "gemel.plan",
    version: 1,
    title: "A staged loft",
    place: { latitude: 51.85, longitude: -8.29, zone: "Europe/Dublin" },
    when: { date: "2026-10-10", from: "10:00", to: "13:00", sky: "clear" },
    room: {
      outline: [
        [0, 0],
        [8, 0],
        [8, 6],
        [0, 6],
      ],
      height: 3.2,
      openings: [
        { id: "door", kind: "door", wall: 0, from: 6.6, width: 0.9, sill: 0, height: 2.05 },
        { id: "north", kind: "window", wall: 2, from: 1.5, width: 1.6, sill: 0.9, height: 1.3 },
        { id: "east", kind: "window", wall: 1, from: 0.4, width: 1.2, sill: 0.9, height: 1.3 },
      ],
      furniture: [{ id: "case", name: "the bookcase", at: [7.75, 3.4], size: [2, 0.4, 2], heading: 90 }],
    },
    sitter: { at: [5.2, 3.1], heading: 285 },
    interviewer: { at: [3.8, 3.48], heading: 105 },
    kit: {
      bodies: [{ id: "body", name: "Body", sensor: [36, 20.25], pixels: [3840, 2160] }],
      lenses: [24, 35, 50, 85].map((mm) => ({
        id: `p${mm}`,
        name: `${mm} mm prime`,
        focal: [mm, mm],
        stop: 1.8,
        closeFocus: mm < 60 ? 0.4 : 0.8,
      })),
      lights: [
        {
          id: "panel",
          name: "Panel",
          lux: 1800,
          atMetres: 1,
          beamDegrees: 110,
          kelvin: 5600,
          face: [0.6, 0.3],
          watts: 120,
          modifiers: [{ id: "box", name: "Soft box", lossStops: 1, size: [0.9, 0.6] }],
        },
      ],
      microphones: [
        { id: "clip", name: "Clip-on", pattern: "omni" },
        { id: "gun", name: "Short gun", pattern: "shotgun" },
      ],
      sliders: [{ id: "slider", name: "Slider", travel: 0.8, loadKg: 5 }],
      stands: [
        { id: "legs", name: "Tripod", lowest: 0.6, highest: 1.7, loadKg: 8, footprint: 0.4 },
        { id: "stand", name: "Light stand", lowest: 0.5, highest: 2.6, loadKg: 6, footprint: 0.3 },
      ],
    },
    cameras: [
      { id: "A", body: "body", lens: "p50", at: [3.26, 2.99], shot: "medium", stand: "legs" },
      { id: "B", body: "body", lens: "p85", at: [3.85, 2.32], shot: "close-up", stand: "legs" },
    ],
    lights: [
      {
        id: "key",
        light: "panel",
        role: "key",
        at: [4.52, 4.55],
        height: 1.85,
        modifier: "box",
        stand: "stand",
      },
      { id: "fill", light: "panel", role: "fill", at: [4.25, 1.45], height: 1.7, dim: 0.06, stand: "stand" },
      { id: "hair", light: "panel", role: "hair", at: [5.61, 1.55], height: 2.1, dim: 0.1, stand: "stand" },
    ],
    microphones: [
      { id: "lav", microphone: "clip", role: "lav" },
      { id: "boom", microphone: "gun", role: "boom", at: [4.82, 3.2, 1.6], standAt: [5.41, 4.47] },
    ],
  });
