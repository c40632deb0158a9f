import type { StoryResult } from "#documents/chapter-results";
import { CutSound } from "./cut-sound.ts";
import type { Deck } from "./deck.ts";
import { soundPieces } from "./sound-pieces.ts";

type Event = StoryResult["events"][number];

/** A cut that plays from the small copies. */
export interface ProxyCut {
  readonly events: readonly Event[];
  /** Address of each recording's small copy, by hash. */
  readonly proxies: Readonly<Record<string, string>>;
  /** The dialogue: its address, and the sitting time of its first sample. */
  readonly sound: { readonly address: string; readonly start: number } | null;
}

/** The next picture is cued and running this long before it is shown, so that the change has no gap; seconds. */
const lead = 0.16;
/** Beyond this the picture jumps to where the sound is; below, it only runs a little faster or slower; seconds. */
const jump = 0.3;
const close = 0.025;
/** Sound that has not moved for this long is not waited for; seconds. */
const stalled = 0.5;

/**
 * Plays a cut from two video elements: one on screen, the other cued at the next shot. The sound leads, to the sample;
 * the picture follows it.
 */
export class ProxyDeck implements Deck {
  readonly element: HTMLElement;
  readonly #videos: readonly [HTMLVideoElement, HTMLVideoElement];
  #cut: ProxyCut;
  #sound: CutSound | null = null;
  #front: 0 | 1 = 0;
  #shown = -1;
  #time = 0;
  #clockZero = 0;
  #isOn = false;
  #turn = 0;
  /** The sound's clock as it moved last, and when that was on the page's. */
  #heard = { at: Number.NEGATIVE_INFINITY, since: 0 };
  #told = new Set<{ plays(): void; stops(): void; known(): void }>();

  constructor(element: HTMLElement, videos: readonly [HTMLVideoElement, HTMLVideoElement], cut: ProxyCut) {
    this.element = element;
    this.#videos = videos;
    this.#cut = cut;
    this.#sound = cut.sound && new CutSound(cut.sound.address, cut.sound.start);
    this.#show(this.#indexAt(0));
  }

  /** Another cut of the same recordings: goes on at the same moment of the sitting, or at the next that is kept. */
  setCut(cut: ProxyCut): void {
    if (cut === this.#cut) return;
    const sitting = this.#sittingNow();
    const wasOn = this.#isOn;
    if (cut.sound?.address !== this.#cut.sound?.address || cut.sound?.start !== this.#cut.sound?.start) {
      this.#sound?.stop();
      this.#sound = cut.sound && new CutSound(cut.sound.address, cut.sound.start);
    }
    this.#cut = cut;
    const event = cut.events.find((e) => e.sittingEnd > sitting) ?? cut.events.at(-1);
    this.#time = event
      ? event.start + Math.min(Math.max(0, sitting - event.sittingStart), event.end - event.start)
      : 0;
    this.#shown = -1;
    for (const { known } of this.#told) known();
    if (wasOn) void this.play();
    else this.#show(this.#indexAt(this.#time));
  }

  now(): number {
    return this.#isOn ? Math.max(0, Math.min(this.duration(), this.#clock())) : this.#time;
  }

  duration(): number {
    return this.#cut.events.at(-1)?.end ?? 0;
  }

  isPlaying(): boolean {
    return this.#isOn;
  }

  place(time: number): void {
    if (Math.abs(this.now() - time) < 0.02) return;
    this.#time = Math.max(0, Math.min(this.duration(), time));
    if (this.#isOn) void this.play();
    else this.#show(this.#indexAt(this.#time));
  }

  async play(): Promise<void> {
    const turn = ++this.#turn;
    const from = this.#isOn ? this.now() : this.#time;
    const start = this.#isOn && Math.abs(this.#time - from) > 0.02 ? this.#time : from;
    this.#sound?.stop();
    this.#isOn = false;
    this.#time = start;
    const index = this.#indexAt(start);
    const event = this.#cut.events[index];
    if (!event) return;
    this.#show(index);
    const video = this.#videos[this.#front];
    await ready(video);
    if (turn !== this.#turn) return;
    const moving = video.play();
    const sounding = this.#sound?.play(soundPieces(this.#cut.events), start).catch((error: unknown) => {
      // Without its sound the cut still has a picture.
      this.#sound = null;
      if (error instanceof DOMException && error.name === "NotAllowedError") throw error;
    });
    await Promise.all([moving, sounding]);
    if (turn !== this.#turn) return;
    this.#clockZero = performance.now() / 1000 - start;
    this.#heard = { at: this.#sound?.isOn ? this.#sound.now() : start, since: performance.now() / 1000 };
    this.#isOn = true;
    for (const { plays } of this.#told) plays();
    requestAnimationFrame(() => this.#follow(turn));
  }

  pause(): void {
    if (!this.#isOn) {
      this.#turn++;
      return;
    }
    this.#time = this.now();
    this.#turn++;
    this.#isOn = false;
    this.#sound?.stop();
    for (const video of this.#videos) video.pause();
    for (const { stops } of this.#told) stops();
  }

  close(): void {
    this.pause();
    for (const video of this.#videos) {
      video.removeAttribute("src");
      video.load();
    }
  }

  listen(told: { plays(): void; stops(): void; known(): void }): () => void {
    this.#told.add(told);
    told.known();
    return () => this.#told.delete(told);
  }

  /** The sound's clock while it runs; a machine whose sound stands still, or has none, goes by the page's own. */
  #clock(): number {
    const page = performance.now() / 1000;
    if (!this.#sound?.isOn) return page - this.#clockZero;
    const heard = this.#sound.now();
    if (heard > this.#heard.at + 1e-4) this.#heard = { at: heard, since: page };
    else if (page - this.#heard.since > stalled) return page - this.#clockZero;
    this.#clockZero = page - heard;
    return heard;
  }

  #sittingNow(): number {
    const event = this.#cut.events[this.#indexAt(this.now())];
    return event ? event.sittingStart + this.now() - event.start : 0;
  }

  /** The shot on screen at a program time; the last at the very end. */
  #indexAt(time: number): number {
    const { events } = this.#cut;
    let low = 0;
    let high = events.length - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (events[middle]!.end > time + 1e-6) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  /** Local time of the recording on screen. */
  #local(event: Event, time: number): number {
    return event.sourceStart + time - event.start;
  }

  /** Brings a shot to the screen at the present time, and cues the one after it. */
  #show(index: number): void {
    const event = this.#cut.events[index];
    if (!event) return;
    const back = this.#videos[this.#front === 0 ? 1 : 0];
    if (index === this.#shown + 1 && this.#shown >= 0 && back.dataset.shot === String(index)) {
      this.#front = this.#front === 0 ? 1 : 0;
    } else cue(this.#videos[this.#front], event, this.#cut, this.#local(event, this.#time), index);
    this.#shown = index;
    const front = this.#videos[this.#front];
    front.dataset.on = "true";
    const other = this.#videos[this.#front === 0 ? 1 : 0];
    delete other.dataset.on;
    other.pause();
    const next = this.#cut.events[index + 1];
    if (next) cue(other, next, this.#cut, Math.max(0, next.sourceStart - lead), index + 1);
  }

  #follow(turn: number): void {
    if (turn !== this.#turn || !this.#isOn) return;
    const time = this.now();
    this.#time = time;
    if (time >= this.duration() - 0.02) {
      this.pause();
      this.#time = this.duration();
      return;
    }
    const index = this.#indexAt(time + 0.008);
    if (index !== this.#shown) {
      this.#show(index);
      const video = this.#videos[this.#front];
      if (video.paused) video.play().catch(() => {});
    }
    const event = this.#cut.events[this.#shown]!;
    keepWith(this.#videos[this.#front], this.#local(event, time));
    const back = this.#videos[this.#front === 0 ? 1 : 0];
    const next = this.#cut.events[this.#shown + 1];
    if (next && time >= event.end - lead) {
      if (back.paused) back.play().catch(() => {});
      else keepWith(back, this.#local(next, time));
    }
    requestAnimationFrame(() => this.#follow(turn));
  }
}

/** Puts a video where a shot needs it. */
function cue(video: HTMLVideoElement, event: Event, cut: ProxyCut, local: number, index: number): void {
  const address = cut.proxies[event.hash];
  if (address === undefined) return;
  video.dataset.shot = String(index);
  if (video.dataset.address !== address) {
    video.dataset.address = address;
    video.src = address;
  }
  video.style.transform = event.scale && event.scale > 1 ? `scale(${event.scale})` : "";
  video.playbackRate = 1;
  if (Math.abs(video.currentTime - local) > 0.01) video.currentTime = local;
}

function keepWith(video: HTMLVideoElement, local: number): void {
  const late = local - video.currentTime;
  if (Math.abs(late) > jump) {
    if (!video.seeking) video.currentTime = local;
    video.playbackRate = 1;
  } else if (Math.abs(late) > close) video.playbackRate = 1 + Math.max(-0.12, Math.min(0.12, late));
  else if (video.playbackRate !== 1) video.playbackRate = 1;
}

/** Settles once the video can show the picture that it was put at, or after a second. */
async function ready(video: HTMLVideoElement): Promise<void> {
  if (video.readyState >= 2 && !video.seeking) return;
  await new Promise<void>((resolve) => {
    const done = () => {
      if (video.seeking || video.readyState < 2) return;
      finish();
    };
    const finish = () => {
      clearTimeout(timer);
      video.removeEventListener("seeked", done);
      video.removeEventListener("loadeddata", done);
      resolve();
    };
    const timer = setTimeout(finish, 1500);
    video.addEventListener("seeked", done);
    video.addEventListener("loadeddata", done);
  });
}
