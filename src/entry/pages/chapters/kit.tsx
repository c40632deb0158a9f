import { type ReactNode, useMemo } from "react";
import { cautionsTogether, type KitResult } from "#documents/kit-result";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import type { Plan } from "#documents/plan";
import { kitFigures, kitVerdict } from "#kit/kit";
import { roomFigures } from "#room/room";
import { hoursMinutes } from "#science/units/time-figures";
import { Opener, Verdict } from "../parts/chapter-section.tsx";
import { before } from "../parts/chapters.ts";
import { Figure, Table } from "../parts/figure.tsx";
import { FindingList } from "../parts/finding-list.tsx";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { useSaidPlan } from "../room/draft-plan.ts";
import { DayBlocks } from "../room/kit/day-blocks.tsx";
import { DayFigure } from "../room/kit/day-figure.tsx";
import { KitList } from "../room/kit/kit-list.tsx";
import { hue } from "../words/devices.ts";
import { number, percent } from "../words/numbers.ts";
import { Prose } from "../words/prose.tsx";
import { useUnits } from "../words/units.ts";

const place = before[1]!;

/** How long cards and batteries last, what the circuits bear, what to bring. */
export function Kit({
  chapter,
  page,
}: {
  readonly chapter: ChapterOnPage<"kit">;
  readonly page: SittingPage;
}): ReactNode {
  const plan = useSaidPlan();
  const figures = useMemo(() => (plan ? kitFigures(plan, roomFigures(plan).geometry.cables) : null), [plan]);
  return (
    <section className="chapter" id="kit" aria-labelledby="kit-name" tabIndex={-1}>
      <Opener place={place} question={chapter.question} />
      {plan && figures ? (
        <>
          <Verdict text={kitVerdict(figures)} />
          <Packed plan={plan} figures={figures} page={page} />
        </>
      ) : (
        <Verdict text="No plan yet, so nothing can be added up. Make one in Room." />
      )}
    </section>
  );
}

function Packed({
  plan,
  figures,
  page,
}: {
  readonly plan: Plan;
  readonly figures: KitResult;
  readonly page: SittingPage;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const units = useUnits();
  return (
    <>
      <div className="spread">
        <div className="evidence" ref={ref}>
          <Figure
            how="Time runs down the page. A block is recorded time; a line beside it, one card or one battery, and a tick across, where the next goes in. A hollow tick falls in a block."
            table={
              <Table
                caption="Changes of the day"
                rows={figures.cameras.flatMap((camera) =>
                  camera.swaps.map((swap) => ({ camera: camera.id, ...swap })),
                )}
                columns={[
                  { head: "Camera", cell: (s) => <b className={hue(s.camera)}>{s.camera}</b> },
                  { head: "What", cell: (s) => s.what },
                  { head: "When", numeric: true, cell: (s) => s.clock ?? hoursMinutes(s.at) },
                  { head: "Where", cell: (s) => (s.inBreak ? `before ${s.block}` : `in ${s.block}`) },
                ]}
              />
            }
          >
            {width > 0 && <DayFigure figures={figures} plan={plan} width={width} />}
          </Figure>
          <DayBlocks plan={plan} />
        </div>
        <div className="margin">
          <Table
            caption="Cards and batteries"
            rows={figures.cameras}
            columns={[
              { head: "Camera", cell: (c) => <b className={hue(c.id)}>{c.id}</b> },
              {
                head: "Cards hold",
                numeric: true,
                cell: (c) => (c.cards ? hoursMinutes(60 * c.cards.hours) : "not known"),
              },
              {
                head: "Needs",
                numeric: true,
                cell: (c) => (c.cards ? `${c.cards.needs} of ${c.cards.has}` : "–"),
              },
              {
                head: "Battery",
                numeric: true,
                cell: (c) =>
                  c.onMains
                    ? "mains"
                    : c.battery
                      ? `${hoursMinutes(c.battery.minutesEach)}, ${c.battery.needs} of ${c.battery.has}`
                      : "not known",
              },
            ]}
          />
          {figures.circuits.length > 0 && (
            <Table
              caption="Mains"
              rows={figures.circuits}
              columns={[
                { head: "Circuit", cell: (c) => c.name },
                {
                  head: "Drawn",
                  numeric: true,
                  cell: (c) => `${number(c.drawn, 1)} of ${number(c.amperes)} A`,
                },
                { head: "Of its rating", numeric: true, cell: (c) => percent(c.share) },
                { head: "Left", numeric: true, cell: (c) => `${number(c.spareWatts)} W` },
              ]}
            />
          )}
          <FindingList findings={figures.findings} page={page} none="Nothing need be done." of="kit" />
        </div>
      </div>
      <div className="pack">
        <h3>
          What to pack, {number(figures.weight.kilograms, 1)} kg
          {figures.weight.unknown > 0 ? ` and ${figures.weight.unknown} things of unknown weight` : ""}
        </h3>
        <div className="packs">
          {figures.pack.map((setup) => (
            <section key={setup.setup} aria-label={`To pack: ${setup.setup}`}>
              <h4>
                <Prose text={setup.setup.replace(/^./, (c) => c.toUpperCase())} />
              </h4>
              <ul>
                {setup.items.map((item) => (
                  <li key={item.id}>
                    <label className="tick">
                      <input type="checkbox" />
                      {item.count > 1 ? `${item.count} × ` : ""}
                      {item.name}
                      {item.weightKg !== null && (
                        <span className="least tnum"> {number(item.weightKg * item.count, 1)} kg</span>
                      )}
                    </label>
                  </li>
                ))}
              </ul>
            </section>
          ))}
        </div>
      </div>
      {figures.cautions.length > 0 && (
        <div className="cautions">
          <h3>With care</h3>
          <ul>
            {cautionsTogether(figures.cautions).map((says) => (
              <li key={says}>{says}</li>
            ))}
          </ul>
        </div>
      )}
      <KitList plan={plan} units={units} />
    </>
  );
}
