import { type Kit, type Plan, planSchema } from "#documents/plan";
import { headingOf } from "#science/geometry/vector3";

const nearestFocal = (
  kit: Kit,
  equalMm: number,
  sensorWidthMm: number,
): Kit["lenses"][number] | undefined => {
  const wanted = (equalMm * sensorWidthMm) / 36;
  const miss = ({ focal }: Kit["lenses"][number]): number =>
    wanted < focal[0]
      ? focal[0] / wanted - 1
      : wanted > focal[1]
        ? wanted / focal[1] - 1
        : 0.01 * (focal[1] / focal[0] - 1);
  return [...kit.lenses].sort((a, b) => miss(a) - miss(b))[0];
};

/**
 * A plan to begin with: a room of 5.2 by 4.2 m with a window and a door, two people 1.9 m apart, two cameras on one side
 * of the line, a key beyond the interviewer, a lav and a boom. Every figure is there to be changed.
 *
 * The staging is common practice: 35 with 85 mm, the interviewer between the key and the nearer camera, the sitter off the wall.
 *
 * @param kit - What there is to stage with; what it lacks is left out.
 */
export function firstPlan(kit: Kit, title: string, units: Plan["units"] = "metric"): Plan {
  const sitter: [number, number] = [3.4, 2.1];
  const interviewer: [number, number] = [1.55, 2.45];
  const heading = (from: readonly [number, number], to: readonly [number, number]): number =>
    Math.round((headingOf([to[0] - from[0], to[1] - from[1], 0]) + 360) % 360);
  const body = [...kit.bodies].sort((a, b) => b.sensor[0] - a.sensor[0])[0];
  const wide = body && nearestFocal(kit, 35, body.sensor[0]);
  const long = body && nearestFocal(kit, 85, body.sensor[0]);
  const key = [...kit.lights].sort((a, b) => b.lux * b.atMetres ** 2 - a.lux * a.atMetres ** 2)[0];
  const lav = kit.microphones.find(({ pattern }) => pattern === "omni") ?? kit.microphones[0];
  const boom = kit.microphones.find(
    ({ pattern }) => pattern === "supercardioid" || pattern === "hypercardioid" || pattern === "shotgun",
  );
  const focalOf = (lens: Kit["lenses"][number] | undefined, equalMm: number): { focalLength?: number } =>
    lens && body && lens.focal[0] < lens.focal[1]
      ? {
          focalLength: Math.max(
            lens.focal[0],
            Math.min(lens.focal[1], Math.round((equalMm * body.sensor[0]) / 36)),
          ),
        }
      : {};
  return planSchema.parse({
    kind: "gemel.plan",
    version: 1,
    title,
    units,
    room: {
      outline: [
        [0, 0],
        [5.2, 0],
        [5.2, 4.2],
        [0, 4.2],
      ],
      height: 2.6,
      openings: [
        {
          id: "window",
          name: "window",
          kind: "window",
          wall: 2,
          from: 2.4,
          width: 1.4,
          sill: 0.9,
          height: 1.2,
        },
        { id: "door", name: "door", kind: "door", wall: 3, from: 0.4, width: 0.85, sill: 0, height: 2 },
      ],
    },
    sitter: { at: sitter, heading: heading(sitter, interviewer) },
    interviewer: { at: interviewer, heading: heading(interviewer, sitter) },
    kit,
    cameras: body
      ? [
          ...(wide
            ? [
                {
                  id: "A",
                  body: body.id,
                  lens: wide.id,
                  at: [1.35, 1.75],
                  shot: "medium",
                  ...focalOf(wide, 35),
                },
              ]
            : []),
          ...(long
            ? [
                {
                  id: "B",
                  body: body.id,
                  lens: long.id,
                  at: [1.5, 0.85],
                  shot: "close-up",
                  ...focalOf(long, 85),
                },
              ]
            : []),
        ]
      : [],
    lights: key
      ? [
          {
            id: "key",
            light: key.id,
            role: "key",
            at: [2.35, 3.75],
            height: 2.05,
            ...(key.modifiers[0] ? { modifier: key.modifiers[0].id } : {}),
          },
        ]
      : [],
    microphones: [
      ...(lav ? [{ id: "lav", microphone: lav.id, role: "lav" }] : []),
      ...(boom ? [{ id: "boom", microphone: boom.id, role: "boom", standAt: [4.3, 3.3] }] : []),
    ],
    wishes: { shots: { A: "medium", B: "close-up" } },
  });
}
