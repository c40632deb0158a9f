import { type ReactNode, useMemo, useState } from "react";
import type { Plan } from "#documents/plan";
import { planKey } from "#documents/plan-key";
import type { RoomPicture } from "#documents/said";
import { Refused } from "../data/ask.ts";
import { bringRoomPicture } from "../data/bring-room-picture.ts";
import { useSaid } from "../data/held-sitting.ts";
import { say } from "../data/say.ts";
import { finderDesk } from "./picture/finder.tsx";

const across = 1280;
const around = 0.18;

/** Puts what the cameras see into the report, as it is rendered here; the report shows line drawings until then. */
export function PicturesForReport({ plan }: { readonly plan: Plan }): ReactNode {
  const said = useSaid();
  const [doing, setDoing] = useState<string | null>(null);
  const key = useMemo(() => planKey(plan), [plan]);
  const isThere =
    plan.cameras.length > 0 &&
    plan.cameras.every(({ id }) => said?.roomPictures?.some((one) => one.camera === id && one.plan === key));
  const put = async (): Promise<void> => {
    setDoing("Rendering");
    try {
      const desk = await finderDesk();
      if (!desk) return setDoing("This browser cannot render. The report shows line drawings.");
      const pictures: RoomPicture[] = [];
      for (const { id } of plan.cameras) {
        const png = await desk.take(id, across, around);
        if (!png) continue;
        const { file } = await bringRoomPicture(png);
        pictures.push({ camera: id, file, plan: key });
      }
      say({ kind: "roomPictures", pictures });
      setDoing(null);
    } catch (error) {
      if (!(error instanceof Refused) && !(error instanceof TypeError)) throw error;
      setDoing(
        error instanceof Refused
          ? error.message
          : "Gemel does not answer. Start it again, then press once more.",
      );
    }
  };
  return (
    <>
      <button
        type="button"
        className="link"
        disabled={doing === "Rendering" || isThere || plan.cameras.length === 0}
        onClick={() => void put()}
      >
        {isThere
          ? "These pictures are in the report"
          : doing === "Rendering"
            ? "Rendering the pictures"
            : "Put these pictures in the report"}
      </button>
      {doing !== null && doing !== "Rendering" && <span role="alert">{doing}</span>}
    </>
  );
}
