import type { KitResult } from "#documents/kit-result";
import type { Plan } from "#documents/plan";
import { minutesOnBattery } from "./kit-cameras.ts";
import type { KitDay } from "./kit-day.ts";

/**
 * Loads that run for hours are kept to this share of a circuit's rating. Common practice: continuous loads at 125 % of
 * their current (NFPA 70, 210.19 and 210.20; from memory). Local codes and licensed practice decide.
 */
export const continuousShare = 0.8;

/** Something that draws power. */
interface Load {
  readonly id: string;
  readonly watts: number;
  readonly powerFactor: number;
}

/** Lights on batteries, loads on circuits, and loads that no circuit is said for. */
export function powerKit(plan: Plan, day: KitDay): Pick<KitResult, "lights" | "circuits" | "unassigned"> {
  const { volts, circuits, on } = plan.mains;
  const lights: KitResult["lights"] = [];
  const mains: Load[] = [];
  for (const placed of plan.lights) {
    const light = plan.kit.lights.find(({ id }) => id === placed.light);
    if (!light || placed.dim <= 0) continue;
    const battery = plan.kit.batteries
      .filter(({ fits }) => fits.includes(light.id))
      .sort((a, b) => b.wattHours - a.wattHours)[0];
    const wattHours = battery?.wattHours ?? light.batteryWattHours;
    if (wattHours !== undefined && light.watts > 0 && on[placed.id] === undefined) {
      // Dimmed lamps draw less, nearly in step.
      const minutesEach = minutesOnBattery(wattHours, light.watts * Math.max(0.05, placed.dim));
      const sharers = plan.lights.filter(
        (other) => battery?.fits.includes(other.light) && on[other.id] === undefined,
      ).length;
      lights.push({
        id: placed.id,
        watts: light.watts,
        battery: {
          name: battery?.name ?? `${light.name}'s own battery`,
          minutesEach,
          has: battery ? Math.floor(battery.count / Math.max(1, sharers)) : 1,
          needs: day.minutes > 0 ? Math.max(1, Math.ceil(day.minutes / minutesEach)) : 0,
        },
      });
      continue;
    }
    // Full power: a hand on the dimmer must not trip the breaker.
    mains.push({ id: placed.id, watts: light.watts, powerFactor: light.powerFactor ?? 1 });
  }
  for (const camera of plan.cameras) {
    const watts = plan.kit.bodies.find(({ id }) => id === camera.body)?.watts;
    if (on[camera.id] !== undefined && watts !== undefined)
      mains.push({ id: camera.id, watts, powerFactor: 1 });
  }
  const amperes = ({ watts, powerFactor }: Load): number => watts / (volts * powerFactor);
  const told = (load: Load): { id: string; watts: number; amperes: number } => ({
    id: load.id,
    watts: load.watts,
    amperes: amperes(load),
  });
  return {
    lights,
    circuits: circuits.map((circuit) => {
      const loads = mains.filter(({ id }) => on[id] === circuit.id);
      const drawn = loads.reduce((sum, load) => sum + amperes(load), 0);
      return {
        id: circuit.id,
        name: circuit.name,
        amperes: circuit.amperes,
        loads: loads.map(told),
        watts: loads.reduce((sum, { watts }) => sum + watts, 0),
        drawn,
        share: drawn / circuit.amperes,
        spareWatts: Math.max(0, (circuit.amperes * continuousShare - drawn) * volts),
      };
    }),
    unassigned: mains.filter(({ id }) => !circuits.some((c) => c.id === on[id])).map(told),
  };
}
