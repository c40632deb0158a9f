import { memo, type ReactNode, useCallback, useEffect, useMemo, useRef, useState } from "react";
import type { ChapterName } from "#documents/chapter-results";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import { Cards } from "./chapters/cards.tsx";
import { Clock } from "./chapters/clock.tsx";
import { Colour } from "./chapters/colour.tsx";
import { Front } from "./chapters/front.tsx";
import { Handover } from "./chapters/handover.tsx";
import { Kit } from "./chapters/kit.tsx";
import { NotYet } from "./chapters/not-yet.tsx";
import { Room } from "./chapters/room.tsx";
import { Story } from "./chapters/story.tsx";
import { Voice } from "./chapters/voice.tsx";
import { Watch } from "./chapters/watch.tsx";
import { useCutPlays } from "./data/cut-player.ts";
import { useSaid } from "./data/held-sitting.ts";
import { keep, readKept } from "./data/kept.ts";
import { useLiveCut } from "./data/live-cut.ts";
import { useLiveSitting } from "./data/live-sitting.ts";
import { dialogueOf, holdsCut, playedOf } from "./data/played.ts";
import { applyTheme, firstTheme } from "./data/theme.ts";
import { after, before } from "./parts/chapters.ts";
import { useCurrentChapter } from "./parts/current-chapter.ts";
import { Guard } from "./parts/guard.tsx";
import { KeysDialog } from "./parts/keys-dialog.tsx";
import { LostLine } from "./parts/lost-line.tsx";
import { NoticeLine } from "./parts/notice-line.tsx";
import { goTo, usePageKeys } from "./parts/page-keys.ts";
import { SittingsDialog } from "./parts/sittings-dialog.tsx";
import { Rings, Spine } from "./parts/spine.tsx";

export function App(): ReactNode {
  const { page, line, tryNow } = useLiveSitting();
  const said = useSaid();
  const [theme, setTheme] = useState(firstTheme);
  const [isOpen, setOpen] = useState(false);
  const [showsSittings, setShowsSittings] = useState(false);
  const [showsKeys, setShowsKeys] = useState(false);
  const [letters, setLetters] = useState(() => readKept("letters") !== "off");
  const current = useCurrentChapter(page !== null);

  const dim = useCallback(() => {
    setTheme((old) => {
      const next = old === "dim" ? "paper" : "dim";
      applyTheme(next, true);
      return next;
    });
  }, []);
  const keys = useCallback(() => setShowsKeys(true), []);
  usePageKeys(letters, dim, keys);

  const isReady = page !== null;
  useEffect(() => {
    // The chapter named in the address is drawn only now, so the browser's own jump has missed it.
    if (isReady && location.hash.length > 1) requestAnimationFrame(() => goTo(location.hash.slice(1)));
  }, [isReady]);
  const title = said?.title ?? page?.title;
  useEffect(() => {
    if (title) document.title = `${title} · Gemel`;
  }, [title]);
  useEffect(() => {
    if (!isOpen) return;
    const close = (event: KeyboardEvent) => event.key === "Escape" && setOpen(false);
    addEventListener("keydown", close);
    return () => removeEventListener("keydown", close);
  }, [isOpen]);

  if (!page)
    return (
      <main className="alone">
        <h1 className="gemel">
          <Rings /> Gemel
        </h1>
        <p className="verdict">{line.state === "lost" ? line.why : "Opening the sitting."}</p>
        <LostLine line={line} onTry={tryNow} />
      </main>
    );

  const place = [...before, ...after].find((p) => p.id === current);
  return (
    <div className="book">
      <header className="phone-bar">
        <a className="where" href="#sitting">
          <Rings />
          {place?.name ?? "Gemel"}
        </a>
        <span className="title">{title}</span>
        <button type="button" aria-expanded={isOpen} aria-controls="spine" onClick={() => setOpen(!isOpen)}>
          {isOpen ? "Close" : "Contents"}
        </button>
      </header>
      <Spine
        page={page}
        title={title ?? page.title}
        current={current}
        isOpen={isOpen}
        onGo={() => setOpen(false)}
        onDim={dim}
        onKeys={keys}
        onSittings={() => {
          setOpen(false);
          setShowsSittings(true);
        }}
        isDim={theme === "dim"}
      />
      <main className="leaf" inert={isOpen}>
        <LostLine line={line} onTry={tryNow} />
        <NoticeLine />
        <Chapters page={page} />
      </main>
      <SittingsDialog isOpen={showsSittings} onClose={() => setShowsSittings(false)} />
      <KeysDialog
        isOpen={showsKeys}
        onClose={() => setShowsKeys(false)}
        letters={letters}
        onLetters={(on) => {
          setLetters(on);
          keep("letters", on ? "on" : "off");
        }}
      />
    </div>
  );
}

const Chapters = memo(function Chapters({ page }: { readonly page: SittingPage }): ReactNode {
  const said = useSaid();
  const { chapter: story } = useLiveCut(chapterOf(page, "story"), chapterOf(page, "watch").result, said);
  const handover = chapterOf(page, "handover");
  const cut = handover.result?.firstCut ?? null;
  const isRendered = useMemo(() => holdsCut(cut, story.result), [cut, story.result]);
  const sound = dialogueOf(page);
  const [address, start] = [sound?.address, sound?.start ?? 0];
  const newest = useMemo(
    () =>
      playedOf(
        page.proxies,
        address === undefined ? null : { address, start },
        story.result,
        cut,
        isRendered,
      ),
    [page.proxies, address, start, story.result, cut, isRendered],
  );
  // A cut that plays from the small copies plays on when its file is ready meanwhile.
  const plays = useCutPlays();
  const last = useRef(newest);
  const played = plays && last.current?.kind === "proxies" && newest?.kind === "file" ? last.current : newest;
  useEffect(() => {
    last.current = played;
  }, [played]);
  return (
    <>
      <Guard name="The sitting">
        <Front page={page} said={said} story={story} played={played} />
      </Guard>
      <Guard name="Room">
        <Room chapter={chapterOf(page, "room")} page={page} />
      </Guard>
      <Guard name="Kit">
        <Kit chapter={chapterOf(page, "kit")} page={page} />
      </Guard>
      <NotYet />
      <Guard name="Cards">
        <Cards chapter={chapterOf(page, "cards")} page={page} />
      </Guard>
      <Guard name="Clock">
        <Clock chapter={chapterOf(page, "clock")} page={page} />
      </Guard>
      <Guard name="Watch">
        <Watch chapter={chapterOf(page, "watch")} page={page} clock={chapterOf(page, "clock").result} />
      </Guard>
      <Guard name="Voice">
        <Voice chapter={chapterOf(page, "voice")} page={page} />
      </Guard>
      <Guard name="Colour">
        <Colour chapter={chapterOf(page, "colour")} page={page} />
      </Guard>
      <Guard name="Story">
        <Story chapter={story} page={page} said={said} played={played} isRendered={isRendered} />
      </Guard>
      <Guard name="Handover">
        <Handover chapter={handover} page={page} said={said} isRendered={isRendered} />
      </Guard>
    </>
  );
});

const questions: Record<ChapterName, string> = {
  room: "Where does everyone go, and what will each lens see?",
  kit: "Does the kit last the day, and what has to come along?",
  cards: "Is everything copied, and may the cards be erased?",
  clock: "Are all the recordings on one time?",
  watch: "What did the cameras do while nobody looked?",
  voice: "Which microphone, and when?",
  colour: "Do the two cameras agree?",
  story: "Does it hold together?",
  handover: "What goes onward?",
};

/** The chapter as the server tells it; one that it leaves out has not begun. */
function chapterOf<Name extends ChapterName>(page: SittingPage, name: Name): ChapterOnPage<Name> {
  const found = page.chapters.find((c) => c.name === name);
  if (found) return found as ChapterOnPage<Name>;
  return {
    name,
    state: "notBegun",
    question: questions[name],
    verdict: "Not begun.",
    findings: [],
    result: null,
    progress: null,
  };
}
