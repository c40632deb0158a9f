import { useEffect } from "react";
import { cutPlayer } from "../data/cut-player.ts";
import { takeBack } from "../data/say.ts";
import { after, before } from "./chapters.ts";

const chapters = [...before, ...after].map((p) => p.id);

/** Goes to a chapter as a link would, and takes the focus there, so that reading and tabbing go on from it. */
export function goTo(id: string): void {
  const place = document.getElementById(id);
  if (!place) return;
  if (location.hash !== `#${id}`) history.pushState(null, "", `#${id}`);
  place.scrollIntoView();
  place.focus({ preventScroll: true });
  dispatchEvent(new HashChangeEvent("hashchange"));
}

/** Moves to the next or previous finding on the page. */
function stepFinding(by: 1 | -1): void {
  const all = [...document.querySelectorAll<HTMLElement>("[data-finding]")];
  if (all.length === 0) return;
  const at = all.findIndex((f) => f.contains(document.activeElement));
  const next = all[at === -1 ? (by === 1 ? 0 : all.length - 1) : (at + by + all.length) % all.length];
  next?.focus();
  next?.scrollIntoView({ block: "nearest" });
}

/** The page's keys. Letters and figures can be turned off; Space and Enter then still act. */
export function usePageKeys(letters: boolean, onDim: () => void, onKeys: () => void): void {
  useEffect(() => {
    const pressed = (event: KeyboardEvent) => {
      if (event.altKey || event.defaultPrevented) return;
      const target = event.target instanceof HTMLElement ? event.target : document.body;
      if (event.ctrlKey || event.metaKey) {
        if (target.matches("textarea, input[type=text]") || document.querySelector("dialog[open]")) return;
        const letter = event.key.toLowerCase();
        const isRedo = letter === "y" || (letter === "z" && event.shiftKey);
        if (letter !== "z" && !isRedo) return;
        event.preventDefault();
        void takeBack(isRedo ? "api/redo" : "api/undo");
        return;
      }
      if (
        document.querySelector("dialog[open]") ||
        target.matches("textarea, input[type=text], input[type=file], select")
      )
        return;
      const isControl = target.closest("button, a, input, summary") !== null;
      if (event.key === " " && !isControl) {
        event.preventDefault();
        cutPlayer.toggle();
        return;
      }
      if (event.key === "Enter" && target.matches("[data-finding]")) {
        target.querySelector<HTMLElement>("button, a")?.click();
        return;
      }
      if (!letters) return;
      const key = event.key.toLowerCase();
      if (/^[0-9]$/.test(key)) {
        if (target.matches("input[type=range], input[type=radio]")) return;
        goTo(chapters[(Number(key) + 9) % 10]!);
      } else if (key === "d") onDim();
      else if (key === "?") onKeys();
      else if (key === "n") stepFinding(1);
      else if (key === "p") stepFinding(-1);
      else return;
      event.preventDefault();
    };
    addEventListener("keydown", pressed);
    return () => removeEventListener("keydown", pressed);
  }, [letters, onDim, onKeys]);
}
