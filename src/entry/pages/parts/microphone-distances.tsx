import type { ReactNode } from "react";
import { speedOfSound } from "#clock/constants";
import type { ClockResult } from "#documents/chapter-results";
import type { Said } from "#documents/said";
import { say } from "../data/say.ts";
import { deviceName } from "../words/devices.ts";
import { smallTime } from "../words/times.ts";
import { useUnits } from "../words/units.ts";
import { SaidBar } from "./said-bar.tsx";
import { Stepped } from "./stepped.tsx";

/** Metres in one foot, exactly: international yard and pound agreement of 1959. */
const metresInFoot = 0.3048;

/** How far each device's microphone is from the sitter's mouth: that far the sound had to go, and the picture had not. */
export function MicrophoneDistances({
  clock,
  said,
}: {
  readonly clock: ClockResult;
  readonly said: Said;
}): ReactNode {
  const units = useUnits();
  const devices = [...new Set(clock.recordings.filter((r) => r.microphone).map((r) => r.device))].sort();
  if (devices.length < 2) return null;
  const inUnits = units === "metric" ? 1 : 1 / metresInFoot;
  return (
    <fieldset className="choices">
      <legend>From the sitter’s mouth to the microphone</legend>
      {devices.map((device) => {
        const own = said.microphoneDistances[device];
        const measured = clock.recordings.find((r) => r.device === device && r.microphone)!.microphone!;
        const metres = own ?? measured.metres;
        const isSaid = own !== undefined;
        // Taken back, and not measured again yet: what the plan has, or what is usual, is not known until then.
        const isWaiting = !isSaid && measured.said;
        return (
          <div key={device}>
            <Stepped
              label={deviceName(device)}
              unit={units === "metric" ? "m" : "ft"}
              value={metres * inUnits}
              min={0}
              max={100 * inUnits}
              step={units === "metric" ? 0.1 : 0.5}
              digits={units === "metric" ? 2 : 1}
              fewer="nearer"
              more="farther"
              onSay={(value) =>
                say({
                  kind: "microphoneDistance",
                  device,
                  metres: Number((value / inUnits).toFixed(4)),
                })
              }
            />
            <p className="caption">
              {isWaiting
                ? "Being measured without it."
                : `${isSaid ? "Set by hand" : measured.planned ? "From the plan of the room" : "A usual distance, not measured"}; sound takes ${smallTime(metres / speedOfSound)} over it.`}{" "}
              {isSaid && (
                <button
                  type="button"
                  className="link"
                  aria-label={`${deviceName(device)}: not by hand`}
                  onClick={() => say({ kind: "microphoneDistance", device, metres: null })}
                >
                  not by hand
                </button>
              )}
            </p>
          </div>
        );
      })}
      <SaidBar only="microphone" />
    </fieldset>
  );
}
