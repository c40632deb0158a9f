import { parentPort } from "node:worker_threads";
import { findIn, type Trials } from "./colour-trials.ts";

// One thread of `findInAll`: answers each portion of trials with what was found in it.
parentPort!.on("message", (trials: Trials) => parentPort!.postMessage(findIn(trials)));
