import { type ReactNode, useState } from "react";
import type { VoiceResult } from "#documents/chapter-results";
import type { Said } from "#documents/said";
import { hear, useHeard } from "../data/hear.ts";
import { say } from "../data/say.ts";
import { fileAddress, fileName } from "../words/addresses.ts";
import { Prose } from "../words/prose.tsx";
import { clockTime } from "../words/times.ts";
import { MomentField } from "./moment-field.tsx";
import { SaidBar } from "./said-bar.tsx";

type Source = VoiceResult["segments"][number]["source"];
interface Stretch {
  readonly start: number;
  readonly end: number;
  readonly source: Source;
  readonly why: string;
  readonly isSaid: boolean;
  /** Said, and not in the dialogue yet. */
  readonly isWaiting: boolean;
}

const names: Record<Source, string> = { lav: "lav", boom: "boom", both: "both" };
const sources: readonly Source[] = ["lav", "boom", "both"];

/** The stretches as they are with all that is said, measured or not. */
export function stretchesOf(voice: VoiceResult, said: Said): Stretch[] {
  const cuts = new Set(voice.segments.flatMap(({ start, end }) => [start, end]));
  const [first, last] = [Math.min(...cuts), Math.max(...cuts)];
  for (const { from, to } of said.sources) for (const t of [from, to]) if (t > first && t < last) cuts.add(t);
  const times = [...cuts].sort((a, b) => a - b);
  const whole: Stretch[] = [];
  for (const [i, start] of times.slice(0, -1).entries()) {
    const end = times[i + 1]!;
    if (end - start < 0.002) continue;
    const middle = (start + end) / 2;
    const measured = voice.segments.find((s) => s.start <= middle && middle < s.end);
    if (!measured) continue;
    const word = said.sources.find((s) => s.from <= middle && middle < s.to);
    const next: Stretch = word
      ? {
          start,
          end,
          source: word.source,
          why: "chosen by hand",
          isSaid: true,
          isWaiting: !measured.said || measured.source !== word.source,
        }
      : {
          start,
          end,
          source: measured.source,
          why: measured.said ? "left to Voice again" : measured.why,
          isSaid: false,
          isWaiting: measured.said === true,
        };
    const before = whole.at(-1);
    const isOne =
      before &&
      before.source === next.source &&
      before.isSaid === next.isSaid &&
      before.isWaiting === next.isWaiting &&
      before.why === next.why;
    if (isOne) whole[whole.length - 1] = { ...before, end };
    else whole.push(next);
  }
  return whole;
}

const mostRows = 40;

/** Which microphone carries which stretch: to hear either there, and to choose. */
export function MicrophoneChoice({
  voice,
  said,
  placeOf,
}: {
  readonly voice: VoiceResult;
  readonly said: Said;
  /** Where the sound stands that is played, sitting time. */
  readonly placeOf: () => number;
}): ReactNode {
  const [from, setFrom] = useState(() => Math.max(0, voice.dialogueStart));
  const [to, setTo] = useState(() => Math.max(0, voice.dialogueStart) + 5);
  const [source, setSource] = useState<Source>("boom");
  const heard = useHeard();
  const has = (name: string): boolean => voice.envelopes.some((e) => e.name === name);
  if (!has("lav") || !has("boom")) return null;
  const fileOf = (name: string): string | undefined =>
    voice.files.find((path) => fileName(path).replace(/\.\w+$/, "") === name);
  const stretches = stretchesOf(voice, said);
  const listen = (name: string, start: number, end: number): void => {
    const file = fileOf(name);
    if (file)
      hear(`${name} ${start}`, fileAddress(file), start - voice.dialogueStart, end - voice.dialogueStart);
  };
  const hearing = (start: number, end: number, of: string): ReactNode =>
    (["lav", "boom"] as const).map((name) => (
      <button
        key={name}
        type="button"
        className="link"
        aria-label={`${heard === `${name} ${start}` ? "Stop" : "Hear"} the ${name}, ${of}`}
        onClick={() => listen(name, start, end)}
      >
        {heard === `${name} ${start}` ? "stop" : `hear the ${name}`}
      </button>
    ));
  return (
    <>
      <fieldset className="by-hand">
        <legend>Choose a microphone for a stretch</legend>
        <div className="times">
          <MomentField label="From" value={from} onSet={setFrom} />
          <MomentField label="To" value={to} onSet={setTo} />
          <span className="acts">
            <button type="button" className="link" onClick={() => setFrom(Number(placeOf().toFixed(1)))}>
              from where it plays
            </button>
            <button type="button" className="link" onClick={() => setTo(Number(placeOf().toFixed(1)))}>
              to where it plays
            </button>
          </span>
        </div>
        <div className="choice" role="radiogroup" aria-label="Microphone">
          {sources.map((name) => (
            <label key={name}>
              <input
                type="radio"
                name="microphone-by-hand"
                checked={source === name}
                onChange={() => setSource(name)}
              />
              {names[name]}
            </label>
          ))}
        </div>
        {to <= from && <p role="status">It must end after it begins.</p>}
        <p className="acts">
          <button
            type="button"
            className="link"
            disabled={to <= from}
            onClick={() => say({ kind: "source", from, to, source })}
          >
            Use it there
          </button>
          {to > from && hearing(from, to, "this stretch")}
        </p>
      </fieldset>
      <section className="by-hand" aria-label="Which microphone, when">
        <h3>Which microphone, when</h3>
        <ul className="stretches">
          {stretches.slice(0, mostRows).map((s) => {
            const of = `${clockTime(s.start, true)} to ${clockTime(s.end, true)}`;
            return (
              <li key={s.start}>
                <span className="tnum">
                  {clockTime(s.start, true)}–{clockTime(s.end, true)}
                </span>
                <b>{names[s.source]}</b>
                <span className="why-chosen">
                  <Prose text={s.why} />
                  {s.isWaiting && ", the dialogue is being made again"}
                </span>
                <span className="acts">
                  {hearing(s.start, s.end, of)}
                  {s.isSaid ? (
                    <button
                      type="button"
                      className="link"
                      aria-label={`Leave it to Voice, ${of}`}
                      onClick={() => say({ kind: "source", from: s.start, to: s.end, source: null })}
                    >
                      leave it to Voice
                    </button>
                  ) : (
                    sources
                      .filter((name) => name !== s.source)
                      .map((name) => (
                        <button
                          key={name}
                          type="button"
                          className="link"
                          aria-label={`Use ${name === "both" ? "both" : `the ${name}`}, ${of}`}
                          onClick={() => say({ kind: "source", from: s.start, to: s.end, source: name })}
                        >
                          use {name === "both" ? "both" : `the ${name}`}
                        </button>
                      ))
                  )}
                </span>
              </li>
            );
          })}
        </ul>
        {stretches.length > mostRows && (
          <p className="caption">
            {stretches.length - mostRows} more are in the table; choose for them by their times.
          </p>
        )}
        <SaidBar only="voice" />
      </section>
    </>
  );
}
