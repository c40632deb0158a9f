import { z } from "zod";
import type { ChapterName } from "./chapter-results.ts";
import type { ChapterState, ProgressOnPage, SaidState, SittingPage } from "./page.ts";
import { type Kit, kitSchema, type Plan, planSchema } from "./plan.ts";
import { changeSchema } from "./said.ts";

/*
 * Every address that the server answers and what goes over it. Both sides import this: the server checks each body
 * with the schema, the page is typed by it. All bodies are JSON (`Content-Type: application/json`, else 415), save
 * `api/uploads`, whose body is the file itself (`application/octet-stream`). Addresses are relative to the page.
 *
 * Refusals carry a {@link Refusal} as JSON: 400 the body is not what it should be, 403 not let in, 404 nothing there,
 * 405 wrong method, 409 conflict ({@link Conflict}), 413 body too large, 415 wrong content type, 422 understood but
 * nothing can be done with it (a file that cannot be read), 507 the disk is full.
 */

const revision = z.string().min(1).max(80);
const folder = z.string().trim().min(1).max(4000);

/** `POST api/said` -> {@link SaidState}; 409 {@link Conflict} where another page changed the same thing meanwhile. */
export const sayRequestSchema = z.object({ revision, change: changeSchema });
export type SayRequest = z.infer<typeof sayRequestSchema>;

/** `POST api/undo` and `POST api/redo` -> {@link SaidState}; 409 where `revision` is not the newest, or nothing is left. */
export const undoRequestSchema = z.object({ revision });
export type UndoRequest = z.infer<typeof undoRequestSchema>;

/** `POST api/run` -> {@link RunAnswer}, at once; what happens then comes by `api/progress`. */
export const runRequestSchema = z.object({});
export type RunRequest = z.infer<typeof runRequestSchema>;

/** `POST api/cancel` -> {@link RunAnswer}, once the work has stopped. What was finished is kept. */
export const cancelRequestSchema = z.object({});
export type CancelRequest = z.infer<typeof cancelRequestSchema>;

export interface RunAnswer {
  readonly running: boolean;
}

/** `GET api/kit` -> this: what the person kept for later sittings, else a usual kit by size and figure. */
export interface KitAnswer {
  readonly kit: Kit;
  readonly isOwn: boolean;
}

/** `POST api/keep-kit` -> {@link KitAnswer}: kept for later sittings, in place of what was kept before. */
export const kitRequestSchema = z.object({ kit: kitSchema });
export type KitRequest = z.infer<typeof kitRequestSchema>;

/** `POST api/plans` -> {@link OpenAnswer} (201): a sitting with a plan and no recordings yet, opened. */
export const planRequestSchema = z.object({
  title: z.string().trim().min(1).max(200),
  folder: folder.optional(),
  plan: planSchema,
});
export interface PlanRequest {
  readonly title: string;
  readonly folder?: string | undefined;
  readonly plan: Plan;
}

/** `GET api/home` -> this. */
export interface HomePage {
  /** Newest first. */
  readonly recent: readonly RecentSitting[];
  /** Where a new sitting goes unless told otherwise: a folder named for its title is made in it. */
  readonly newSittingsIn: string;
  /** The folder that is open now. */
  readonly open: string;
}

export interface RecentSitting {
  readonly folder: string;
  readonly title: string;
  /** ISO 8601. */
  readonly openedAt: string;
  /** Whether the folder is still there (its drive may not be connected). */
  readonly isThere: boolean;
}

/**
 * `POST api/drafts` -> {@link DraftAnswer} (201): makes the folder of a sitting to come, so that files can be uploaded
 * into it. Not needed where every file is named by its path.
 */
export const draftRequestSchema = z.object({
  title: z.string().trim().min(1).max(200),
  /** Absolute; empty or not there yet. Where not given: a folder named for the title in `newSittingsIn`. */
  folder: folder.optional(),
  /** For files that go into the sitting that is open, by `api/recordings`. */
  open: z.literal(true).optional(),
});
export type DraftRequest = z.infer<typeof draftRequestSchema>;

export interface DraftAnswer {
  readonly draft: string;
  readonly folder: string;
}

/**
 * `POST api/uploads?draft=ID&name=FILE` with the file as body (`Content-Type: application/octet-stream`) ->
 * {@link UploadAnswer} (201). The file appears whole or not at all.
 */
export const uploadQuerySchema = z.object({
  draft: z.string().min(1).max(80),
  name: z.string().min(1).max(400),
});

export interface UploadAnswer {
  /** To be named among the paths of a device in {@link NewSittingRequest}. */
  readonly path: string;
  readonly bytes: number;
}

const devices = z
  .array(
    z.object({
      /** `A`, `B`, `C` for cameras; `sound`, `sound2` for recorders. */
      device: z
        .string()
        .regex(/^(?:[A-Z]|sound[0-9]?)$/, "a camera is a capital letter, a recorder is sound or sound2"),
      kind: z.enum(["camera", "sound"]),
      /** Absolute paths of files or of a card's folder, or paths that an upload answered. */
      paths: z.array(z.string().trim().min(1).max(4000)).min(1).max(2000),
    }),
  )
  .min(1)
  .max(12)
  .refine(
    (list) => new Set(list.map(({ device }) => device)).size === list.length,
    "each device is named once",
  );

/** `POST api/sittings` -> {@link OpenAnswer} (201): made of these files, opened and run. */
export const newSittingRequestSchema = z.object({
  title: z.string().trim().min(1).max(200),
  /** From `api/drafts`; then `folder` is the draft's own. */
  draft: z.string().min(1).max(80).optional(),
  folder: folder.optional(),
  devices,
  /** Folders that get a second verified copy. */
  backups: z.array(folder).max(8).optional(),
  /** Work from the files where they lie instead of copying them. Default false. */
  inPlace: z.boolean().optional(),
});
export type NewSittingRequest = z.infer<typeof newSittingRequestSchema>;

/** `POST api/recordings` -> {@link OpenAnswer}: adds these files to the sitting that is open, and runs it. */
export const addRequestSchema = newSittingRequestSchema.omit({ title: true, folder: true });
export type AddRequest = z.infer<typeof addRequestSchema>;

/** `POST api/open` -> {@link OpenAnswer}: from here on the server shows this sitting, and runs it. */
export const openRequestSchema = z.object({ folder });
export type OpenRequest = z.infer<typeof openRequestSchema>;

export interface OpenAnswer {
  readonly folder: string;
}

/**
 * `GET api/frame?hash=HASH&at=SECONDS&width=PIXELS` -> a JPEG of the frame on screen at that local time of a recording,
 * as recorded (no look), at most `width` wide (default 960). For the clap, and for a chart whose corners are set by hand.
 */
export const frameQuerySchema = z.object({
  hash: z.string().min(1).max(200),
  at: z.coerce.number().min(0).max(864_000),
  width: z.coerce.number().int().min(16).max(3840).default(960),
});

/** What every refusal says. */
export interface Refusal {
  /** Permanent, for programs. */
  readonly code: string;
  /** One clear sentence. */
  readonly says: string;
  /** What to do about it, where there is something. */
  readonly doNext?: string;
}

/** 409: the change was not made; `page` is how things stand. */
export interface Conflict extends Refusal {
  readonly page: SittingPage;
}

/**
 * `POST api/transcripts?name=FILE` with the file as body (`Content-Type: application/octet-stream`, 8 MB at most) ->
 * {@link TranscriptAnswer} (201): WebVTT or SRT, read and kept as a file of the sitting. It counts only once it is said
 * (a change of kind `transcript`).
 */
export const transcriptQuerySchema = z.object({ name: z.string().trim().min(1).max(400) });

/** `POST api/transcript-path` -> {@link TranscriptAnswer} (201): the same, of a file on this machine by its absolute path. */
export const transcriptPathRequestSchema = z.object({ path: z.string().trim().min(1).max(4000) });
export type TranscriptPathRequest = z.infer<typeof transcriptPathRequestSchema>;

export interface TranscriptAnswer {
  /** Relative to the sitting. */
  readonly file: string;
  readonly name: string;
  readonly lines: number;
  /** Cues that could not be read. */
  readonly leftOut: number;
  /** The recording that is called like it, by hash: it most likely counts that one's time. `null`: none is. */
  readonly recording: string | null;
}

/**
 * `POST api/room-pictures` with a PNG as body (`Content-Type: application/octet-stream`, 8 MB at most) ->
 * {@link RoomPictureAnswer} (201): kept as a file of the sitting, whole or not at all. It counts only once it is said (a
 * change of kind `roomPictures`).
 */
export interface RoomPictureAnswer {
  /** Relative to the sitting. */
  readonly file: string;
}

/*
 * `GET api/progress` is a stream of server-sent events. On connecting `sitting` comes at once.
 */

/** Only how the work goes: comes often, is small. */
export interface ProgressNews {
  readonly running: boolean;
  readonly chapters: readonly {
    readonly name: ChapterName;
    readonly state: ChapterState;
    readonly progress: ProgressOnPage | null;
  }[];
  readonly proxiesProgress: ProgressOnPage | null;
}

/** The events by name, and the JSON that each carries in `data`. */
export interface ServerEvents {
  /** Everything anew: a chapter settled or failed, a proxy was made, another sitting was opened. */
  readonly sitting: SittingPage;
  readonly progress: ProgressNews;
  /** Somebody changed what is said (this page or another). */
  readonly said: SaidState;
}

/** Method, request and answer of each address, for a typed `ask(route, body)`. */
export interface Routes {
  readonly "api/sitting": { readonly method: "GET"; readonly request: null; readonly answer: SittingPage };
  readonly "api/kit": { readonly method: "GET"; readonly request: null; readonly answer: KitAnswer };
  readonly "api/keep-kit": {
    readonly method: "POST";
    readonly request: KitRequest;
    readonly answer: KitAnswer;
  };
  readonly "api/plans": {
    readonly method: "POST";
    readonly request: PlanRequest;
    readonly answer: OpenAnswer;
  };
  readonly "api/home": { readonly method: "GET"; readonly request: null; readonly answer: HomePage };
  readonly "api/said": { readonly method: "POST"; readonly request: SayRequest; readonly answer: SaidState };
  readonly "api/undo": { readonly method: "POST"; readonly request: UndoRequest; readonly answer: SaidState };
  readonly "api/redo": { readonly method: "POST"; readonly request: UndoRequest; readonly answer: SaidState };
  readonly "api/run": { readonly method: "POST"; readonly request: RunRequest; readonly answer: RunAnswer };
  readonly "api/cancel": {
    readonly method: "POST";
    readonly request: CancelRequest;
    readonly answer: RunAnswer;
  };
  readonly "api/drafts": {
    readonly method: "POST";
    readonly request: DraftRequest;
    readonly answer: DraftAnswer;
  };
  readonly "api/sittings": {
    readonly method: "POST";
    readonly request: NewSittingRequest;
    readonly answer: OpenAnswer;
  };
  readonly "api/recordings": {
    readonly method: "POST";
    readonly request: AddRequest;
    readonly answer: OpenAnswer;
  };
  readonly "api/transcript-path": {
    readonly method: "POST";
    readonly request: TranscriptPathRequest;
    readonly answer: TranscriptAnswer;
  };
  readonly "api/open": {
    readonly method: "POST";
    readonly request: OpenRequest;
    readonly answer: OpenAnswer;
  };
}
