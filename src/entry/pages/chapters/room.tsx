import { type ReactNode, useCallback, useDeferredValue, useMemo, useState } from "react";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import type { Plan } from "#documents/plan";
import type { RoomResult } from "#documents/room-result";
import { freeId } from "#room/plan-edits";
import { roomFigures, roomVerdict } from "#room/room";
import { type Scene, sceneOf } from "#room/scene";
import { hoursOf } from "#room/sun-daylight";
import { sunPatch } from "#room/sun-figures";
import { clockOfMinutes } from "#science/sun/local-time";
import { countOf } from "#science/units/number-words";
import { Opener, Verdict } from "../parts/chapter-section.tsx";
import { before } from "../parts/chapters.ts";
import { Figure, Table } from "../parts/figure.tsx";
import { FindingList } from "../parts/finding-list.tsx";
import { signs, worst } from "../parts/marks.tsx";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { SaidBar } from "../parts/said-bar.tsx";
import { daylightOf } from "../room/daylight-of.ts";
import { DistanceRuler } from "../room/distance-ruler.tsx";
import { sayEdit, usePlan } from "../room/draft-plan.ts";
import { Finder } from "../room/finder.tsx";
import { MakePlan } from "../room/make-plan.tsx";
import { PicturesForReport } from "../room/pictures-for-report.tsx";
import { PlanFigure } from "../room/plan-figure.tsx";
import { planForPaper, printPlan } from "../room/print-plan.ts";
import { ProposalsPart } from "../room/proposals.tsx";
import type { Daylight } from "../room/room-model.ts";
import { RoomPanel } from "../room/room-panel.tsx";
import { cameraOnSlide, SlideStrip, save, usePlayedSlide } from "../room/slide-strip.tsx";
import { ThingPanel } from "../room/thing-panel.tsx";
import { hue } from "../words/devices.ts";
import { number, percent } from "../words/numbers.ts";
import { distance, type Units, useUnits } from "../words/units.ts";

const place = before[0]!;
/** Notes beyond these are folded: what must be dealt with stays in view. */
const mostNotes = 3;

/** Where everyone goes, and what each lens will see. */
export function Room({
  chapter,
  page,
}: {
  readonly chapter: ChapterOnPage<"room">;
  readonly page: SittingPage;
}): ReactNode {
  const { plan, said, isMoving } = usePlan();
  const scene = useMemo(() => plan && sceneOf(plan), [plan]);
  // Figures follow a drag one step behind, so that the drawing never waits for them.
  const settled = useDeferredValue(plan);
  // Told in the reader's units, whatever the plan was written in.
  const units = useUnits();
  const figures = useMemo(() => (settled ? roomFigures({ ...settled, units }) : null), [settled, units]);
  return (
    <section className="chapter" id="room" aria-labelledby="room-name" tabIndex={-1}>
      <Opener place={place} question={chapter.question} />
      {plan && said && scene && figures ? (
        <>
          <Verdict text={roomVerdict(figures)} />
          <Planned plan={plan} said={said} scene={scene} figures={figures} isMoving={isMoving} page={page} />
        </>
      ) : (
        <>
          <Verdict text="No plan of the room yet. Begin with a room of four walls, or with a plan file." />
          <MakePlan title={page.title} />
        </>
      )}
    </section>
  );
}

function Planned({
  plan,
  said,
  scene,
  figures,
  isMoving,
  page,
}: {
  readonly plan: Plan;
  readonly said: Plan;
  readonly scene: Scene;
  readonly figures: RoomResult;
  readonly isMoving: boolean;
  readonly page: SittingPage;
}): ReactNode {
  const units = useUnits();
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const [sideRef, sideWidth] = useMeasuredWidth<HTMLDivElement>();
  const [chosen, setChosen] = useState<string | null>(null);
  const hours = useMemo(() => (plan.place ? hoursOf(plan) : null), [plan]);
  const [asked, setMinute] = useState<number | null>(null);
  const minute = hours ? Math.max(hours.from, Math.min(hours.to - 1, asked ?? hours.from)) : 0;
  const { place: where, when } = plan;
  const { bearing } = plan.room;
  // The same object while nothing of the day changes, so that the pictures are not begun anew.
  // biome-ignore lint/correctness/useExhaustiveDependencies: of the plan only the place, the day and the bearing count
  const daylight = useMemo(() => daylightOf(plan, minute), [where, when, bearing, minute]);
  const sun = useMemo(() => {
    const found = hours && sunPatch(plan, scene, minute);
    if (!found) return undefined;
    return {
      patches: found.patches.flatMap(({ floor }) => (floor.length > 2 ? [floor] : [])),
      label: `sun, ${clockOfMinutes(minute)}`,
    };
  }, [plan, scene, hours, minute]);
  const luxAtFace = useMemo(
    () =>
      Object.fromEntries(
        (figures.light?.sources ?? [])
          .filter(({ kind, lux }) => kind === "light" && lux >= 1)
          .map(({ id, lux }) => [id, lux]),
      ),
    [figures.light],
  );
  const marks = useMemo(() => {
    const ids = new Set(
      figures.findings.flatMap(({ evidence }) => (evidence?.where ? [evidence.where] : [])),
    );
    return Object.fromEntries(
      [...ids].map((id) => [
        id,
        signs[worst(figures.findings.filter(({ evidence }) => evidence?.where === id))!.weight],
      ]),
    );
  }, [figures.findings]);
  const notes = figures.findings.filter(({ weight }) => weight === "note");
  const folded = notes.length > mostNotes + 1 ? notes.slice(mostNotes) : [];
  const shown = figures.findings.filter((finding) => !folded.includes(finding));
  const slide = plan.slides[0];
  const played = usePlayedSlide(slide);
  const shownId = chosen ?? scene.cameras[0]?.id ?? "sitter";
  const pinned = plan.wishes.pinned.includes(shownId);
  return (
    <>
      <div className="spread room-spread">
        <div className="evidence" ref={ref}>
          <Figure
            how="Tint is what each lens takes in; close hatching, what of it is sharp; the dashed line, who looks at whom; hatching on the floor, the sun. Drag anything, or move it with the arrow keys; [ and ] turn it."
            table={<CameraTable figures={figures} units={units} />}
          >
            {width > 0 && (
              <PlanFigure
                plan={plan}
                said={said}
                scene={scene}
                width={width}
                units={units}
                chosen={chosen}
                onChoose={setChosen}
                sun={sun}
                luxAtFace={luxAtFace}
                marks={marks}
              />
            )}
          </Figure>
          {hours && (
            <div className="hour">
              <label htmlFor="room-hour">The sun at {clockOfMinutes(minute)}</label>
              <input
                id="room-hour"
                type="range"
                min={hours.from}
                max={hours.to - 1}
                step={1}
                value={minute}
                aria-valuetext={clockOfMinutes(minute)}
                onChange={(event) => setMinute(Number(event.target.value))}
              />
            </div>
          )}
          <FindingList findings={shown} page={page} none="Nothing need be done." of="room" />
          {folded.length > 0 && (
            <details className="as-table more-notes">
              <summary>{countOf(folded.length, "more note").replace(/^./, (c) => c.toUpperCase())}</summary>
              <FindingList findings={folded} page={page} none="" of="room" first={shown.length} />
            </details>
          )}
        </div>
        <div className="margin room-margin" ref={sideRef}>
          {scene.cameras.slice(0, 3).map((camera) => (
            <CameraView
              key={camera.id}
              id={camera.id}
              scene={scene}
              figures={figures}
              daylight={daylight}
              isMoving={isMoving}
              width={sideWidth}
              playedSlide={slide?.camera === camera.id ? slide.id : null}
              playedAt={played.at}
            />
          ))}
          {(figures.moves ?? []).map((move) => (
            <SlideStrip
              key={move.id}
              scene={scene}
              move={move}
              daylight={daylight}
              isMoving={isMoving}
              units={units}
              width={sideWidth}
            />
          ))}
        </div>
      </div>
      <div className="actions room-actions">
        <a className="press" href="#kit">
          Take this to Kit
        </a>
        {slide && (
          <button type="button" className="link" onClick={played.toggle}>
            {played.isPlaying ? "Stop the slide" : "Play the slide"}
          </button>
        )}
        <PicturesForReport plan={said} />
        <button type="button" className="link" onClick={() => printPlan(plan, units)}>
          Print the plan
        </button>
        <button
          type="button"
          className="link"
          onClick={() => save(planForPaper(plan, units), "image/svg+xml", "plan.svg")}
        >
          Save the drawing
        </button>
      </div>
      <SaidBar />
      <div className="room-desk">
        <ThingPanel plan={plan} scene={scene} id={shownId} units={units} />
        <label className="tick">
          <input
            type="checkbox"
            checked={pinned}
            onChange={() =>
              sayEdit({
                what: pinned ? `letting ${shownId} move` : `pinning ${shownId}`,
                plan: {
                  wishes: {
                    ...plan.wishes,
                    pinned: pinned
                      ? plan.wishes.pinned.filter((id) => id !== shownId)
                      : [...plan.wishes.pinned, shownId],
                  },
                },
              })
            }
          />
          It stays where it is when stagings are proposed
        </label>
        <AddThings plan={plan} onAdd={setChosen} />
        <details className="as-table room-details">
          <summary>The room, its windows and the day</summary>
          <RoomPanel plan={plan} units={units} />
        </details>
        <ProposalsPart plan={said} units={units} />
      </div>
    </>
  );
}

function CameraView({
  id,
  scene,
  figures,
  daylight,
  isMoving,
  width,
  playedSlide,
  playedAt,
}: {
  readonly id: string;
  readonly scene: Scene;
  readonly figures: RoomResult;
  readonly daylight: Daylight;
  readonly isMoving: boolean;
  readonly width: number;
  readonly playedSlide: string | null;
  readonly playedAt: { readonly current: number | null };
}): ReactNode {
  const pick = useCallback(
    (now: Scene) =>
      (playedSlide !== null && playedAt.current !== null
        ? cameraOnSlide(now, playedSlide, playedAt.current)
        : null) ??
      now.cameras.find((camera) => camera.id === id) ??
      null,
    [id, playedSlide, playedAt],
  );
  const camera = scene.cameras.find((one) => one.id === id)!;
  const measured = figures.cameras.find((one) => one.id === id);
  return (
    <div className="camera-view">
      <Finder
        scene={scene}
        daylight={daylight}
        isMoving={isMoving}
        pick={pick}
        label={`What camera ${id} sees`}
      />
      <span className={`letter ${hue(id)}`} aria-hidden="true">
        {id}
      </span>
      {measured && width > 0 && (
        <DistanceRuler
          camera={measured}
          sensorHeightMm={camera.sensorMm[1]}
          width={width}
          pictureHeight={width / camera.aspect / 1.18}
          units={figures.units}
        />
      )}
    </div>
  );
}

function CameraTable({ figures, units }: { readonly figures: RoomResult; readonly units: Units }): ReactNode {
  return (
    <Table
      caption="What each camera sees"
      rows={figures.cameras}
      columns={[
        { head: "Camera", cell: (c) => <b className={hue(c.id)}>{c.id}</b> },
        {
          head: "Lens",
          numeric: true,
          cell: (c) => `${number(c.focalMm, c.focalMm % 1 === 0 ? 0 : 1)} mm f/${number(c.stop, 1)}`,
        },
        { head: "To the eyes", numeric: true, cell: (c) => distance(c.sitterMetres, units) },
        {
          head: "Angle seen",
          numeric: true,
          cell: (c) => `${number(c.fieldOfView.width, 1)}° × ${number(c.fieldOfView.height, 1)}°`,
        },
        { head: "Shot", cell: (c) => c.shot.is },
        { head: "Headroom", numeric: true, cell: (c) => percent(c.shot.headroom) },
        { head: "Eyeline", numeric: true, cell: (c) => `${number(c.eyeline.degrees)}°` },
        {
          head: "Sharp",
          numeric: true,
          cell: (c) =>
            `${distance(c.focus.near, units)} – ${c.focus.far === null ? "∞" : distance(c.focus.far, units)}`,
        },
        {
          head: "Background blur",
          numeric: true,
          cell: (c) => `${number(c.blur.share * 100, 1)} % of the height`,
        },
      ]}
    />
  );
}

/** What can be added, from the kit of the plan. */
function AddThings({
  plan,
  onAdd,
}: {
  readonly plan: Plan;
  readonly onAdd: (id: string) => void;
}): ReactNode {
  const { kit, sitter } = plan;
  const near = (dx: number, dy: number): [number, number] => [
    Math.round((sitter.at[0] + dx) * 20) / 20,
    Math.round((sitter.at[1] + dy) * 20) / 20,
  ];
  const add = (id: string, what: string, part: Partial<Plan>) => {
    sayEdit({ what, plan: part });
    onAdd(id);
  };
  const letter = [..."ABCDEFGH"].find((l) => !plan.cameras.some((c) => c.id === l));
  const body = kit.bodies[0];
  const lens = kit.lenses[0];
  const light = kit.lights[0];
  const microphone = kit.microphones[0];
  const slider = kit.sliders[0];
  const rider = plan.cameras.findLast((c) => !plan.slides.some((s) => s.camera === c.id));
  return (
    <div className="actions">
      <span className="quiet">Put in</span>
      {letter && body && lens && (
        <button
          type="button"
          className="link"
          onClick={() =>
            add(letter, `camera ${letter}`, {
              cameras: [
                ...plan.cameras,
                {
                  id: letter,
                  body: body.id,
                  lens: lens.id,
                  at: near(-1.8, -0.8),
                  shot: "medium",
                  frameRate: plan.cameras[0]?.frameRate ?? 25,
                  shutterAngle: 180,
                },
              ],
            })
          }
        >
          a camera
        </button>
      )}
      {light && (
        <button
          type="button"
          className="link"
          onClick={() => {
            const id = freeId(plan, "light");
            add(id, "a light", {
              lights: [
                ...plan.lights,
                {
                  id,
                  light: light.id,
                  role: plan.lights.some((l) => l.role === "key") ? "fill" : "key",
                  at: near(-1, 1.4),
                  height: 2,
                  dim: 1,
                  gelMired: 0,
                  gelLossStops: 0,
                },
              ],
            });
          }}
        >
          a light
        </button>
      )}
      {microphone && (
        <button
          type="button"
          className="link"
          onClick={() => {
            const id = freeId(plan, "boom");
            const own = kit.microphones.find(({ pattern }) => pattern !== "omni") ?? microphone;
            add(id, "a boom", {
              microphones: [
                ...plan.microphones,
                { id, microphone: own.id, role: "boom", standAt: near(0.6, 1.3) },
              ],
            });
          }}
        >
          a boom
        </button>
      )}
      {slider && rider && (
        <button
          type="button"
          className="link"
          onClick={() => {
            const id = freeId(plan, "slide");
            const height = rider.height ?? 1.2;
            const half = Math.min(slider.travel, 0.6) / 2;
            add(id, `a slide for camera ${rider.id}`, {
              slides: [
                ...plan.slides,
                {
                  id,
                  slider: slider.id,
                  camera: rider.id,
                  from: [rider.at[0], rider.at[1] - half, height],
                  to: [rider.at[0], rider.at[1] + half, height],
                  seconds: 30,
                  ease: "in-out",
                  returns: true,
                  hold: { point: "eyes" },
                  head: "linear",
                  tilts: false,
                },
              ],
            });
          }}
        >
          a slide
        </button>
      )}
      <button
        type="button"
        className="link"
        onClick={() => {
          const id = freeId(plan, "table");
          add(id, "a piece of furniture", {
            room: {
              ...plan.room,
              furniture: [
                ...plan.room.furniture,
                {
                  id,
                  name: id.replace("-", " "),
                  at: near(1, 0.8),
                  heading: 0,
                  size: [0.8, 0.5, 0.7],
                  base: 0,
                  glossy: false,
                },
              ],
            },
          });
        }}
      >
        furniture
      </button>
    </div>
  );
}
