import { type ReactNode, type RefObject, useEffect, useRef, useState } from "react";
import type { VoiceResult } from "#documents/chapter-results";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import { cutPlayer } from "../data/cut-player.ts";
import { useSaid } from "../data/held-sitting.ts";
import { EmptyAxes } from "../figures/empty-axes.tsx";
import { LoudnessRule } from "../figures/loudness-rule.tsx";
import { faultNames, VoiceEnvelopes } from "../figures/voice-envelopes.tsx";
import { ChapterSection } from "../parts/chapter-section.tsx";
import { after } from "../parts/chapters.ts";
import { Figure, Table } from "../parts/figure.tsx";
import { MicrophoneChoice } from "../parts/microphone-choice.tsx";
import { fileAddress, fileName } from "../words/addresses.ts";
import { number, percent } from "../words/numbers.ts";
import { clockTime, smallTime } from "../words/times.ts";

export function Voice({
  chapter,
  page,
}: {
  readonly chapter: ChapterOnPage<"voice">;
  readonly page: SittingPage;
}): ReactNode {
  const voice = chapter.result;
  const [audio, setAudio] = useState<HTMLAudioElement | null>(null);
  const sounds = voice ? soundsOf(voice) : [];
  const [chosen, setChosen] = useState(0);
  const said = useSaid();
  const begin = useRef<number | null>(null);
  const file = sounds[chosen]?.path ?? sounds[0]?.path;
  /** Plays one of the sounds from a moment of the sitting; the other file is taken up first where it is another. */
  const playFrom = (name: string, at: number): void => {
    if (!audio || !voice) return;
    const index = sounds.findIndex((sound) => sound.name === name);
    const time = Math.max(0, at - voice.dialogueStart);
    cutPlayer.pause();
    if (index < 0 || index === chosen) {
      audio.currentTime = time;
      audio.play().catch(() => {});
    } else {
      begin.current = time;
      setChosen(index);
    }
  };
  return (
    <ChapterSection
      place={after[3]!}
      chapter={chapter}
      page={page}
      evidence={
        voice && voice.envelopes.length > 0 ? (
          <>
            <Figure
              how="Time runs down the page; the wider, the louder. Of the two microphones the chosen one is inked; the dialogue at the right is made of the inked stretches. A mark at the right names a fault, and a band shows which microphone had it. Press a place on a column to hear it from there; the slide above the button that plays does the same."
              table={
                <>
                  <Table
                    caption="Which microphone, when"
                    hideCaption
                    rows={voice.segments}
                    columns={[
                      { head: "From", cell: (s) => clockTime(s.start, true) },
                      { head: "To", cell: (s) => clockTime(s.end, true) },
                      { head: "Microphone", cell: (s) => s.source },
                      { head: "Why", cell: (s) => s.why },
                    ]}
                  />
                  {voice.faults.length > 0 && (
                    <Table
                      caption="Faults"
                      rows={voice.faults}
                      columns={[
                        { head: "From", cell: (f) => clockTime(f.start, true) },
                        { head: "To", cell: (f) => clockTime(f.end, true) },
                        { head: "What", cell: (f) => faultNames[f.kind] },
                        { head: "Recording, channel", cell: (f) => `${fileName(f.path)}, ${f.channel}` },
                      ]}
                    />
                  )}
                </>
              }
            >
              <VoiceEnvelopes voice={voice} audio={audio} said={said} onPlayFrom={playFrom} />
            </Figure>
            {said && (
              <MicrophoneChoice
                voice={voice}
                said={said}
                placeOf={() => voice.dialogueStart + (audio?.currentTime ?? 0)}
              />
            )}
          </>
        ) : (
          <EmptyAxes across="loudness" columns={["lav", "boom", "dialogue"]} />
        )
      }
      details={
        voice && (
          <>
            <h3>The dialogue</h3>
            <LoudnessRule loudness={voice.loudness} />
            <Facts voice={voice} />
          </>
        )
      }
      actions={
        file && (
          <>
            {/* biome-ignore lint/a11y/useMediaCaption: the words are the sitter's own; captions come with the transcript */}
            <audio ref={setAudio} src={fileAddress(file)} preload="metadata" />
            <PlaySound audio={audio} sounds={sounds} chosen={chosen} onChoose={setChosen} begin={begin} />
          </>
        )
      }
    />
  );
}

function Facts({ voice }: { readonly voice: VoiceResult }): ReactNode {
  const whole = voice.segments.reduce((sum, s) => sum + s.end - s.start, 0) || 1;
  const share = (source: string) =>
    percent(
      voice.segments.filter((s) => s.source === source).reduce((sum, s) => sum + s.end - s.start, 0) / whole,
    );
  return (
    <dl className="facts">
      <dt>Loudness, against {number(voice.loudness.target, 1)} wanted</dt>
      <dd>{number(voice.loudness.integrated, 1)} LUFS</dd>
      <dt>Highest true peak</dt>
      <dd>{number(voice.loudness.truePeak, 1)} dBTP</dd>
      <dt>Loudness range</dt>
      <dd>{number(voice.loudness.range, 1)} LU</dd>
      <dt>The boom heard it later by</dt>
      <dd>{voice.delay === null ? "–" : smallTime(voice.delay)}</dd>
      <dt>Polarity, boom against lav</dt>
      <dd>{voice.polarity === null ? "–" : voice.polarity === 1 ? "alike" : "opposite, turned"}</dd>
      <dt>Lav, boom, both</dt>
      <dd>
        {share("lav")}, {share("boom")}, {share("both")}
      </dd>
    </dl>
  );
}

interface Sound {
  readonly name: string;
  readonly path: string;
}

/** The dialogue and each microphone by itself; all begin at the same moment of the sitting. */
function soundsOf(voice: VoiceResult): Sound[] {
  return voice.files.slice(0, 3).map((path, i) => ({
    name: i === 0 ? "dialogue" : fileName(path).replace(/\.\w+$/, ""),
    path,
  }));
}

/** Plays the dialogue or one microphone; the other goes on at the same moment, so that they can be told apart by ear. */
function PlaySound({
  audio,
  sounds,
  chosen,
  onChoose,
  begin,
}: {
  readonly audio: HTMLAudioElement | null;
  readonly sounds: readonly Sound[];
  readonly chosen: number;
  readonly onChoose: (index: number) => void;
  /** Where a file that is being taken up is to play from; null where it goes on as it was. */
  readonly begin: RefObject<number | null>;
}): ReactNode {
  const goOn = useRef<{ time: number; plays: boolean } | null>(null);
  const [time, setTime] = useState(0);
  const [end, setEnd] = useState(0);
  const [plays, setPlays] = useState(false);
  useEffect(() => {
    if (!audio) return;
    const told = () => {
      setTime(audio.currentTime);
      setPlays(!audio.paused);
      if (Number.isFinite(audio.duration)) setEnd(audio.duration);
    };
    told();
    const known = () => {
      // Another file is in: it plays from where it was pressed, or goes on where the one before it was.
      if (begin.current !== null) goOn.current = { time: begin.current, plays: true };
      begin.current = null;
      if (!goOn.current) return;
      const { time: at, plays: wasPlaying } = goOn.current;
      goOn.current = null;
      audio.currentTime = at;
      if (wasPlaying) audio.play().catch(() => setPlays(false));
    };
    audio.addEventListener("loadedmetadata", known);
    const events = ["timeupdate", "play", "pause", "loadedmetadata", "seeked", "ended"];
    for (const event of events) audio.addEventListener(event, told);
    const forget = cutPlayer.alsoPlays(audio);
    return () => {
      forget();
      audio.removeEventListener("loadedmetadata", known);
      for (const event of events) audio.removeEventListener(event, told);
    };
  }, [audio, begin]);
  const toggle = () => {
    if (!audio) return;
    if (!audio.paused) return audio.pause();
    cutPlayer.pause();
    audio.play().catch(() => setPlays(false));
  };
  return (
    <div className="player" style={{ width: "100%" }}>
      <input
        className="slide"
        type="range"
        min={0}
        max={Math.max(end, 0.1)}
        step={0.1}
        value={time}
        style={{ ["--at" as string]: `${(time / Math.max(end, 0.1)) * 100}%` }}
        aria-label="Place in the sound"
        aria-valuetext={clockTime(time)}
        onChange={(event) => {
          if (audio) audio.currentTime = Number(event.target.value);
        }}
      />
      <div className="bar">
        <button type="button" className="press" onClick={toggle}>
          {plays ? "Stop" : "Play"} the {sounds[chosen]?.name ?? "dialogue"}
        </button>
        <span className="place">
          {clockTime(time)} of {clockTime(end)}
        </span>
      </div>
      {sounds.length > 1 && (
        <fieldset className="choice">
          <legend className="unseen">Which sound is played</legend>
          {sounds.map((sound, i) => (
            <label key={sound.path}>
              <input
                type="radio"
                name="sound"
                checked={i === chosen}
                onChange={() => {
                  if (audio) goOn.current = { time: audio.currentTime, plays: !audio.paused };
                  onChoose(i);
                }}
              />
              {sound.name}
            </label>
          ))}
        </fieldset>
      )}
    </div>
  );
}
