/** A plan in round numbers, as a person would write it: a room 6 by 5 m, its sitter facing west, a window in the south. */
export const roomPlan = {
  kind: "gemel.plan",
  version: 1,
  title: "A room by round numbers",
  place: { latitude: 51.85, longitude: -8.29, zone: "Europe/Dublin" },
  when: { date: "2025-10-14", from: "09:00", to: "17:00", sky: "clear" },
  room: {
    outline: [
      [0, 0],
      [6, 0],
      [6, 5],
      [0, 5],
    ],
    height: 2.7,
    openings: [
      {
        id: "south",
        name: "south window",
        kind: "window",
        wall: 0,
        from: 3.5,
        width: 1.2,
        sill: 0.9,
        height: 1.3,
      },
    ],
  },
  sitter: { at: [4.3, 2.4], heading: 265 },
  interviewer: { at: [2.3, 2.9], heading: 95 },
  kit: {
    bodies: [
      {
        id: "body",
        name: "Body",
        sensor: [36, 20.25],
        pixels: [3840, 2160],
        readoutMilliseconds: 20,
        weightKg: 0.9,
        bitRateMbps: 100,
        watts: 8,
      },
    ],
    lenses: [
      { id: "35", name: "35 mm", focal: [35, 35], stop: 1.8, weightKg: 0.4 },
      { id: "85", name: "85 mm", focal: [85, 85], stop: 1.8, weightKg: 0.5, closeFocus: 0.8 },
    ],
    lights: [
      {
        id: "panel",
        name: "Panel",
        lux: 3000,
        atMetres: 1,
        beamDegrees: 100,
        kelvin: 5600,
        face: [0.3, 0.3],
        watts: 300,
        modifiers: [{ id: "soft", name: "Softbox", lossStops: 2, size: [0.9, 0.6] }],
      },
    ],
    microphones: [
      { id: "clip", name: "Clip-on", pattern: "omni", selfNoise: 26 },
      { id: "gun", name: "Short gun", pattern: "shotgun", selfNoise: 14 },
    ],
    sliders: [{ id: "rail", name: "Slider", travel: 0.8, loadKg: 4, noise: 32, fastest: 0.05 }],
  },
  cameras: [
    { id: "A", body: "body", lens: "35", at: [2.2, 2.2], stop: 2.8 },
    { id: "B", body: "body", lens: "85", at: [2, 1.2], shot: "close-up", stop: 2.8 },
  ],
  lights: [{ id: "key", light: "panel", role: "key", at: [2.9, 4], height: 1.9, modifier: "soft" }],
  microphones: [
    { id: "lav", microphone: "clip", role: "lav" },
    { id: "boom", microphone: "gun", role: "boom", standAt: [5.3, 3.8] },
  ],
  slides: [
    { id: "move", slider: "rail", camera: "B", from: [1.8, 1.4, 1.2], to: [2.2, 1, 1.2], seconds: 40 },
  ],
};
