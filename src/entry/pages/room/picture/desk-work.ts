import type { Plan } from "#documents/plan";
import { type Scene, sceneOf } from "#room/scene";
import { viewedBy } from "./camera-view.ts";
import type { Detail } from "./clay-shape.ts";
import { daylightOf } from "./daylight-of.ts";
import type { FromDesk, Pixels, Screen, ToDesk } from "./desk-messages.ts";
import { type RoomModel, roomModel } from "./room-model.ts";
import type { Exposure, Viewfinder } from "./viewfinder.ts";

/** Samples of a picture at rest: with so many, discs of blur are within 5 % of their size. */
export const fineSamples = { graphics: 128, software: 64 } as const;
/** Work between two looks at what is asked, ms; and samples between two looks at a picture in the making. */
const workMs = 12;
const showEvery = 8;
const coarseWidth = { graphics: 480, software: 240 } as const;
/** Across a picture to be kept, where the processor draws it: it should not take much over half a minute. */
const softwareWidth = 960;
/** And its samples: the fewest whose discs of blur are within 5 % with something to spare, 4.1 % by their seeds. */
export const softwareTaken = 56;
/** So long nothing must have moved before pictures are made finely, ms. */
const restMs = 150;

/** A processor takes as long for the small of a shape as for all the rest; graphics do not, and nothing is seen to change. */
const coarseDetail = { graphics: "fine", software: "coarse" } as const;

/** What is seen now; its models are made when they are wanted. */
interface Built {
  readonly scene: Scene;
  readonly modelOf: (detail: Detail) => RoomModel;
  readonly dispose: () => void;
}

/** The cameras that stand otherwise in a plan with these parts changed. */
function ledBy(on: Plan | null, change: Partial<Plan> | null): ReadonlySet<string> {
  const before = new Map(on?.cameras.map((camera) => [camera.id, JSON.stringify(camera)]));
  const moved = change?.cameras?.filter((camera) => before.get(camera.id) !== JSON.stringify(camera)) ?? [];
  return new Set(moved.map(({ id }) => id));
}

interface State {
  screen: Screen;
  /** The last coarse picture is of what is seen now. */
  isCoarse: boolean;
  isFine: boolean;
  /** When the last coarse picture was made: the one that waited longest is next. */
  turn: number;
}

/**
 * Renders every picture of a page, one piece of work at a time: coarsely while things move, finely when they rest.
 * Between two pieces it looks at what is asked now, so that a picture is never of a plan that is past.
 *
 * @param later - Runs a piece of work after this many milliseconds, once what has been asked meanwhile is known.
 */
export function deskWork(
  finder: Viewfinder,
  tell: (news: FromDesk, pixels: Pixels | null) => void,
  later: (work: () => void, milliseconds: number) => void,
): (asked: ToDesk) => void {
  const kind = finder.isSoftware ? "software" : "graphics";
  const states = new Map<number, State>();
  const takes: (ToDesk & { kind: "take" })[] = [];
  let on: Plan | null = null;
  let seen: { plan: Plan; minute: number } | null = null;
  let built: Built | null = null;
  let restsFrom = 0;
  let isMoving = false;
  let nextWork = Number.POSITIVE_INFINITY;
  let turn = 0;
  /** The cameras that a drag moves, and whether the last coarse picture was of one. */
  let led: ReadonlySet<string> = new Set();
  let wasLed = false;
  let fine: { of: State | (ToDesk & { kind: "take" }); exposure: Exposure } | null = null;

  const room = (): Built | null => {
    if (!seen) return null;
    if (!built) {
      const { plan, minute } = seen;
      const scene = sceneOf(plan);
      const models = new Map<Detail, RoomModel>();
      built = {
        scene,
        modelOf: (detail) => {
          const known = models.get(detail);
          if (known) return known;
          const model = roomModel(scene, daylightOf(plan, minute), detail);
          models.set(detail, model);
          return model;
        },
        dispose: () => {
          for (const model of models.values()) model.dispose();
        },
      };
    }
    return built;
  };
  const ask = (milliseconds = 0): void => {
    const due = performance.now() + milliseconds;
    if (due >= nextWork) return;
    nextWork = due;
    later(() => {
      // Another was asked for sooner.
      if (nextWork !== due) return;
      nextWork = Number.POSITIVE_INFINITY;
      work();
    }, milliseconds);
  };
  const coarsely = (state: State, { scene, modelOf }: Built): void => {
    const { screen } = state;
    Object.assign(state, { isCoarse: true, turn: ++turn });
    const camera = viewedBy(scene, screen.view);
    if (!camera) return;
    const width = Math.min(coarseWidth[kind], screen.width);
    const exposure = finder.expose(modelOf(coarseDetail[kind]), camera, {
      width,
      samples: 1,
      around: screen.around,
    });
    exposure.go(0);
    const pixels = exposure.print();
    tell({ kind: "picture", id: screen.id, pixels, isFinished: false, samples: 1 }, pixels);
  };
  const finely = (state: State, { scene, modelOf }: Built): void => {
    const { screen } = state;
    if (fine?.of !== state) {
      const camera = viewedBy(scene, screen.view);
      if (!camera) {
        state.isFine = true;
        return;
      }
      const { width, around } = screen;
      fine = {
        of: state,
        exposure: finder.expose(modelOf("fine"), camera, { width, samples: fineSamples[kind], around }),
      };
    }
    const { exposure } = fine;
    const before = exposure.done;
    const isFinished = exposure.go(workMs);
    if (isFinished || Math.floor(before / showEvery) !== Math.floor(exposure.done / showEvery)) {
      const pixels = exposure.print();
      tell({ kind: "picture", id: screen.id, pixels, isFinished, samples: exposure.done }, pixels);
    }
    if (!isFinished) return;
    state.isFine = true;
    fine = null;
  };
  const taking = (asked: ToDesk & { kind: "take" }, { scene, modelOf }: Built): void => {
    if (fine?.of !== asked) {
      const camera = viewedBy(scene, { camera: asked.camera });
      if (!camera) {
        takes.shift();
        tell({ kind: "taken", pixels: null }, null);
        return;
      }
      const width = finder.isSoftware ? Math.min(asked.width, softwareWidth) : asked.width;
      fine = {
        of: asked,
        exposure: finder.expose(modelOf("fine"), camera, {
          width,
          samples: finder.isSoftware ? softwareTaken : fineSamples.graphics,
          around: asked.around,
        }),
      };
    }
    if (!fine.exposure.go(workMs)) return;
    const pixels = fine.exposure.print();
    takes.shift();
    fine = null;
    tell({ kind: "taken", pixels }, pixels);
  };
  const work = (): void => {
    const now = room();
    if (!now) return;
    const inView = [...states.values()].filter(({ screen }) => screen.isInView);
    const waiting = inView.filter(({ isCoarse }) => !isCoarse).sort((a, b) => a.turn - b.turn);
    // What looks through the camera that is dragged is looked at: every other piece of work is its picture.
    const isLed = ({ screen: { view } }: State): boolean => "camera" in view && led.has(view.camera);
    const stale = (wasLed ? undefined : waiting.find(isLed)) ?? waiting.find((s) => !isLed(s)) ?? waiting[0];
    if (stale) {
      wasLed = isLed(stale);
      coarsely(stale, now);
      ask();
      return;
    }
    if (takes[0]) {
      taking(takes[0], now);
      ask();
      return;
    }
    // Fine pictures come once nothing has moved for a while.
    const rest = inView.find(({ isFine }) => !isFine);
    if (!rest || isMoving) return;
    const wait = restsFrom - performance.now();
    if (wait <= 0) finely(rest, now);
    ask(Math.max(0, wait));
  };
  const changed = (state: State): void => {
    Object.assign(state, { isCoarse: false, isFine: false });
    if (fine?.of === state) fine = null;
  };
  return (asked) => {
    if (asked.kind === "on") {
      on = asked.plan;
      return;
    }
    if (asked.kind === "see") {
      seen = on && { plan: { ...on, ...asked.change }, minute: asked.minute };
      isMoving = asked.change !== null;
      led = ledBy(on, asked.change);
      built?.dispose();
      built = null;
      fine = null;
      for (const state of states.values()) changed(state);
      restsFrom = performance.now() + restMs;
    } else if (asked.kind === "screen") {
      const { screen } = asked;
      const state = states.get(screen.id);
      if (!state) states.set(screen.id, { screen, isCoarse: false, isFine: false, turn: 0 });
      else {
        const { isInView, ...was } = state.screen;
        const { isInView: _, ...is } = screen;
        state.screen = screen;
        if (JSON.stringify(was) !== JSON.stringify(is)) {
          changed(state);
          restsFrom = performance.now() + restMs;
        }
      }
    } else if (asked.kind === "gone") {
      const state = states.get(asked.id);
      if (state) changed(state);
      states.delete(asked.id);
    } else takes.push(asked);
    ask();
  };
}
