import type { KitResult } from "#documents/kit-result";
import type { Body, Plan, PlannedCamera } from "#documents/plan";
import type { KitDay } from "./kit-day.ts";
import { swapsOf } from "./kit-swaps.ts";

/** Of a card's printed size this share is filled: the rest is its file system and a margin. Common practice. */
export const usableCard = 0.9;
/** Of a battery's printed energy this share is counted on: age, cold, and a margin. Common practice. */
export const usableBattery = 0.8;

/** Megabits a second of a camera as it is set; null where nobody gave a figure. */
export function bitRateOf(camera: PlannedCamera, body: Body): number | null {
  const codec = body.codecs?.find(({ id }) => id === camera.codec);
  if (!codec) return body.bitRateMbps ?? null;
  return codec.atFrameRate === undefined ? codec.mbps : (codec.mbps * camera.frameRate) / codec.atFrameRate;
}

/** Minutes of recording on a card: 10⁹ bytes to the printed gigabyte, 10⁶ bits to the megabit. */
export const minutesOnCard = (gigabytes: number, mbps: number): number =>
  (gigabytes * usableCard * 8000) / mbps / 60;

/** Minutes that a battery drives a load. */
export const minutesOnBattery = (wattHours: number, watts: number): number =>
  (wattHours * usableBattery * 60) / watts;

interface SingleCard {
  readonly name: string;
  readonly gigabytes: number;
}

/**
 * Deals the cards out: the camera that fills them fastest is given the largest left, in turn, until each has what the
 * day asks of it; what is left over goes round too.
 */
function dealCards(plan: Plan, day: KitDay, rates: ReadonlyMap<string, number>): Map<string, SingleCard[]> {
  const cards: SingleCard[] = plan.kit.cards
    .flatMap(({ name, gigabytes, count }) => Array.from({ length: count }, () => ({ name, gigabytes })))
    .sort((a, b) => b.gigabytes - a.gigabytes);
  const hands = new Map<string, SingleCard[]>([...rates.keys()].map((id) => [id, []]));
  const coverage = (id: string): number => {
    const held = hands.get(id)!.reduce((sum, card) => sum + minutesOnCard(card.gigabytes, rates.get(id)!), 0);
    return held / Math.max(1, day.recordedMinutes);
  };
  for (const card of cards) {
    const poorest = [...rates.keys()].sort(
      (a, b) => coverage(a) - coverage(b) || rates.get(b)! - rates.get(a)!,
    )[0];
    if (poorest === undefined) break;
    hands.get(poorest)!.push(card);
  }
  return hands;
}

/** Cards and batteries of every camera over the day. */
export function cameraKit(plan: Plan, day: KitDay): KitResult["cameras"] {
  const bodyOf = (camera: PlannedCamera): Body | undefined =>
    plan.kit.bodies.find(({ id }) => id === camera.body);
  const rates = new Map<string, number>();
  for (const camera of plan.cameras) {
    const body = bodyOf(camera);
    const mbps = body ? bitRateOf(camera, body) : null;
    if (mbps !== null) rates.set(camera.id, mbps);
  }
  const hands = dealCards(plan, day, rates);
  // Batteries that fit several bodies are shared out evenly between them.
  const sharers = (fits: readonly string[]): number =>
    Math.max(1, plan.cameras.filter((c) => fits.includes(c.body) && !plan.mains.on[c.id]).length);
  return plan.cameras.flatMap((camera): KitResult["cameras"] => {
    const body = bodyOf(camera);
    if (!body) return [];
    const mbps = rates.get(camera.id) ?? null;
    const hand = hands.get(camera.id) ?? [];
    const onMains = plan.mains.on[camera.id] !== undefined;
    const swaps: KitResult["cameras"][number]["swaps"] = [];
    let cards: KitResult["cameras"][number]["cards"] = null;
    if (mbps !== null && hand.length > 0) {
      const each = hand.map(({ gigabytes }) => minutesOnCard(gigabytes, mbps));
      const changes = swapsOf(day, { what: "card", minutes: each, inBreaks: false });
      swaps.push(...changes);
      cards = {
        names: hand.map(({ name }) => name),
        minutesEach: each[0]!,
        hours: each.reduce((sum, minutes) => sum + minutes, 0) / 60,
        has: hand.length,
        needs: day.blocks.length > 0 ? changes.length + 1 : 0,
      };
    }
    let battery: KitResult["cameras"][number]["battery"] = null;
    const fitting = plan.kit.batteries
      .filter(({ fits }) => fits.includes(body.id))
      .sort((a, b) => b.wattHours - a.wattHours)[0];
    if (!onMains && fitting && body.watts !== undefined && body.watts > 0) {
      const minutesEach = minutesOnBattery(fitting.wattHours, body.watts);
      const changes = swapsOf(day, { what: "battery", minutes: [minutesEach], inBreaks: true });
      swaps.push(...changes);
      battery = {
        name: fitting.name,
        watts: body.watts,
        minutesEach,
        has: Math.floor(fitting.count / sharers(fitting.fits)),
        needs: day.blocks.length > 0 ? changes.length + 1 : 0,
      };
    }
    return [
      {
        id: camera.id,
        body: body.name,
        mbps,
        gigabytesPerHour: mbps === null ? null : (mbps * 3600) / 8000,
        recordedGigabytes: mbps === null ? null : (mbps * day.recordedMinutes * 60) / 8000,
        cards,
        battery,
        onMains,
        swaps: swaps.sort((a, b) => a.at - b.at),
      },
    ];
  });
}
