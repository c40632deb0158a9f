import { type ReactNode, useMemo, useState } from "react";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import type { Plan } from "#documents/plan";
import type { RoomResult } from "#documents/room-result";
import { roomVerdict } from "#room/room";
import { sceneOf } from "#room/scene";
import { hoursOf } from "#room/sun-daylight";
import { sunPatch } from "#room/sun-figures";
import { clockOfMinutes } from "#science/sun/local-time";
import { countOf } from "#science/units/number-words";
import { Opener, Verdict } from "../parts/chapter-section.tsx";
import { before } from "../parts/chapters.ts";
import { Figure } from "../parts/figure.tsx";
import { FindingList } from "../parts/finding-list.tsx";
import { signs, worst } from "../parts/marks.tsx";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { CameraPicture, CameraTable } from "../room/camera-pictures.tsx";
import { useSaidPlan } from "../room/draft-plan.ts";
import { MakePlan } from "../room/make-plan.tsx";
import { useSeen } from "../room/picture/finder.tsx";
import { PlanFigure } from "../room/plan-figure.tsx";
import { usePlayedSlide } from "../room/played-slide.ts";
import { RoomDesk } from "../room/room-desk.tsx";
import { SlideStrip } from "../room/slide-strip.tsx";
import { type Figured, useFigures } from "../room/use-figures.ts";
import { useUnits } from "../words/units.ts";

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
  const said = useSaidPlan();
  const units = useUnits();
  const figured = useFigures(said, units);
  return (
    <section className="chapter" id="room" aria-labelledby="room-name" tabIndex={-1}>
      <Opener place={place} question={chapter.question} />
      {said && figured ? (
        <>
          <Verdict text={roomVerdict(figured.figures)} />
          <Planned said={said} figured={figured} page={page} />
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
  said,
  figured,
  page,
}: {
  readonly said: Plan;
  /** In a drag everything but the drawing and the pictures follows its figures. */
  readonly figured: Figured;
  readonly page: SittingPage;
}): ReactNode {
  const { plan, figures } = figured;
  const scene = useMemo(() => sceneOf(plan), [plan]);
  const units = useUnits();
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const [sideRef, sideWidth] = useMeasuredWidth<HTMLDivElement>();
  const [chosen, setChosen] = useState<string | null>(null);
  const hours = useMemo(() => (plan.place ? hoursOf(plan) : null), [plan]);
  const [asked, setMinute] = useState<number | null>(null);
  const minute = hours ? Math.max(hours.from, Math.min(hours.to - 1, asked ?? hours.from)) : 0;
  useSeen(said, minute);
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
  const cables = useMemo(() => figures.geometry?.cables.map(({ path }) => path) ?? [], [figures.geometry]);
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
  const slide = plan.slides[0];
  const played = usePlayedSlide(slide);
  const shownId = chosen ?? scene.cameras[0]?.id ?? "sitter";
  const findings = useMemo(() => <Findings figures={figures} page={page} />, [figures, page]);
  const desk = useMemo(
    () => (
      <RoomDesk
        said={said}
        figured={figured}
        chosen={shownId}
        onChoose={setChosen}
        units={units}
        played={slide ? played : null}
      />
    ),
    [said, figured, shownId, units, slide, played],
  );
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
                said={said}
                width={width}
                units={units}
                chosen={chosen}
                onChoose={setChosen}
                sun={sun}
                luxAtFace={luxAtFace}
                marks={marks}
                cables={cables}
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
          {findings}
        </div>
        <div className="margin room-margin" ref={sideRef}>
          {scene.cameras.slice(0, 3).map((camera) => (
            <CameraPicture
              key={camera.id}
              id={camera.id}
              scene={scene}
              figures={figures}
              width={sideWidth}
              played={played}
            />
          ))}
          {(figures.moves ?? []).map((move) => (
            <SlideStrip key={move.id} scene={scene} move={move} units={units} width={sideWidth} />
          ))}
        </div>
      </div>
      {desk}
    </>
  );
}

/** What must be dealt with, and what is worth knowing. */
function Findings({
  figures,
  page,
}: {
  readonly figures: RoomResult;
  readonly page: SittingPage;
}): ReactNode {
  const notes = figures.findings.filter(({ weight }) => weight === "note");
  const folded = notes.length > mostNotes + 1 ? notes.slice(mostNotes) : [];
  const shown = figures.findings.filter((finding) => !folded.includes(finding));
  return (
    <>
      <FindingList findings={shown} page={page} none="Nothing need be done." of="room" />
      {folded.length > 0 && (
        <details className="as-table more-notes">
          <summary>{countOf(folded.length, "more note").replace(/^./, (c) => c.toUpperCase())}</summary>
          <FindingList findings={folded} page={page} none="" of="room" first={shown.length} />
        </details>
      )}
    </>
  );
}
