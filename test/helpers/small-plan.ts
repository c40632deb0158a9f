import { type Plan, planSchema } from "#documents/plan";

/** A room 6 by 4 m with one of everything: a piece of furniture, a camera on a rail, a light, a boom. */
export const smallPlan: Plan = planSchema.parse({
  kind: "gemel.plan",
  version: 1,
  room: {
    outline: [
      [0, 0],
      [6, 0],
      [6, 4],
      [0, 4],
    ],
    height: 2.7,
    furniture: [{ id: "bin", name: "the bin", at: [5, 3], size: [1, 0.5, 0.8] }],
  },
  sitter: { at: [4, 2], heading: 270 },
  interviewer: { at: [1.8, 2.6], heading: 100 },
  kit: {
    bodies: [{ id: "b", name: "Large", sensor: [36, 20.25], pixels: [3840, 2160] }],
    lenses: [{ id: "z", name: "Short zoom", focal: [28, 50], stop: 2.8 }],
    lights: [
      {
        id: "p",
        name: "Panel",
        lux: 2000,
        atMetres: 1,
        beamDegrees: 100,
        kelvin: 5600,
        face: [0.6, 0.3],
        watts: 100,
      },
    ],
    sliders: [{ id: "r", name: "Rail", travel: 0.8, loadKg: 5 }],
    microphones: [{ id: "m", name: "Short", pattern: "supercardioid" }],
  },
  cameras: [{ id: "A", body: "b", lens: "z", at: [1.8, 1.6] }],
  lights: [{ id: "key", light: "p", role: "key", at: [2.5, 3.5], height: 2 }],
  microphones: [{ id: "boom", microphone: "m", role: "boom", at: [3.8, 2, 1.6], standAt: [4.5, 3.6] }],
  slides: [{ id: "s", slider: "r", camera: "A", from: [1.8, 1.6, 1.2], to: [1.8, 1, 1.2], seconds: 30 }],
});
