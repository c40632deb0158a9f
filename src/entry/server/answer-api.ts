import type { IncomingMessage, ServerResponse } from "node:http";
import {
  addRequestSchema,
  cancelRequestSchema,
  draftRequestSchema,
  frameQuerySchema,
  kitRequestSchema,
  newSittingRequestSchema,
  openRequestSchema,
  planRequestSchema,
  type RunAnswer,
  runRequestSchema,
  sayRequestSchema,
  transcriptPathRequestSchema,
  transcriptQuerySchema,
  undoRequestSchema,
  uploadQuerySchema,
} from "#documents/routes";
import { kitToBeginWith, saveKit } from "#jobs/kit-store";
import { keepRoomPicture, mostPictureBytes } from "#jobs/room-pictures";
import type { SaidOutcome } from "#jobs/said-keeper";
import type { Studio } from "#jobs/studio";
import { mostTranscriptBytes, readTranscriptFile } from "#jobs/transcripts";
import { checkContentType, readBytes, readJson, readQuery } from "./read-body.ts";
import { conflict, Refused, sendJson } from "./refusal.ts";
import { sendFile } from "./send-file.ts";

interface Asked {
  readonly request: IncomingMessage;
  readonly response: ServerResponse;
  readonly url: URL;
}

/** One address: what it does with a request of its method. */
interface ApiRoute {
  readonly method: "GET" | "POST";
  answer(asked: Asked): Promise<void>;
}

/** Every address below `api/` but the stream of events. Bodies and queries are checked by the schemas of `documents/routes`. */
export function apiRoutes(studio: Studio): Readonly<Record<string, ApiRoute>> {
  const say = (response: ServerResponse, outcome: SaidOutcome): void => {
    if (!outcome.done) throw conflict(outcome.code, outcome.says, studio.live().page());
    sendJson(response, 200, outcome.state);
  };
  const running = (): RunAnswer => ({ running: studio.live().page().running });
  return {
    sitting: {
      method: "GET",
      answer: async ({ response }) => sendJson(response, 200, studio.live().page()),
    },
    home: { method: "GET", answer: async ({ response }) => sendJson(response, 200, await studio.home()) },
    said: {
      method: "POST",
      answer: async ({ request, response }) => {
        const { revision, change } = await readJson(request, sayRequestSchema);
        say(response, await studio.live().say(revision, change));
      },
    },
    undo: {
      method: "POST",
      answer: async ({ request, response }) =>
        say(response, await studio.live().undo((await readJson(request, undoRequestSchema)).revision)),
    },
    redo: {
      method: "POST",
      answer: async ({ request, response }) =>
        say(response, await studio.live().redo((await readJson(request, undoRequestSchema)).revision)),
    },
    run: {
      method: "POST",
      answer: async ({ request, response }) => {
        await readJson(request, runRequestSchema);
        // What goes wrong stands in the page.
        studio
          .live()
          .run()
          .catch(() => {});
        sendJson(response, 202, running());
      },
    },
    cancel: {
      method: "POST",
      answer: async ({ request, response }) => {
        await readJson(request, cancelRequestSchema);
        await studio.live().cancel();
        sendJson(response, 200, running());
      },
    },
    drafts: {
      method: "POST",
      answer: async ({ request, response }) =>
        sendJson(response, 201, await studio.draft(await readJson(request, draftRequestSchema))),
    },
    uploads: {
      method: "POST",
      answer: async ({ request, response, url }) => {
        checkContentType(request, "application/octet-stream");
        const { draft, name } = readQuery(url, uploadQuerySchema);
        const said = request.headers["content-length"];
        sendJson(
          response,
          201,
          await studio.upload(
            draft,
            name,
            request as AsyncIterable<Buffer>,
            said === undefined ? null : Number(said),
          ),
        );
      },
    },
    sittings: {
      method: "POST",
      answer: async ({ request, response }) =>
        sendJson(response, 201, await studio.make(await readJson(request, newSittingRequestSchema))),
    },
    recordings: {
      method: "POST",
      answer: async ({ request, response }) =>
        sendJson(response, 201, await studio.add(await readJson(request, addRequestSchema))),
    },
    transcripts: {
      method: "POST",
      answer: async ({ request, response, url }) => {
        checkContentType(request, "application/octet-stream");
        const { name } = readQuery(url, transcriptQuerySchema);
        const bytes = await readBytes(request, mostTranscriptBytes);
        sendJson(response, 201, await studio.live().takeTranscript(name, bytes));
      },
    },
    "room-pictures": {
      method: "POST",
      answer: async ({ request, response }) => {
        checkContentType(request, "application/octet-stream");
        const bytes = await readBytes(request, mostPictureBytes);
        sendJson(response, 201, await keepRoomPicture(studio.live().folder, bytes));
      },
    },
    "transcript-path": {
      method: "POST",
      answer: async ({ request, response }) => {
        const { path } = await readJson(request, transcriptPathRequestSchema);
        const { name, bytes } = await readTranscriptFile(path);
        sendJson(response, 201, await studio.live().takeTranscript(name, bytes));
      },
    },
    kit: {
      method: "GET",
      answer: async ({ response }) => sendJson(response, 200, await kitToBeginWith()),
    },
    "keep-kit": {
      method: "POST",
      answer: async ({ request, response }) => {
        const { kit } = await readJson(request, kitRequestSchema);
        await saveKit(kit);
        sendJson(response, 200, { kit, isOwn: true });
      },
    },
    plans: {
      method: "POST",
      answer: async ({ request, response }) =>
        sendJson(response, 201, await studio.plan(await readJson(request, planRequestSchema))),
    },
    open: {
      method: "POST",
      answer: async ({ request, response }) =>
        sendJson(response, 200, await studio.open((await readJson(request, openRequestSchema)).folder)),
    },
    frame: {
      method: "GET",
      answer: async ({ request, response, url }) => {
        const { hash, at, width } = readQuery(url, frameQuerySchema);
        const file = await studio.live().frame(hash, at, width);
        if (file === undefined)
          throw new Refused(404, {
            code: "NOT_FOUND",
            says: "The sitting has no such recording with a picture.",
          });
        await sendFile(request, response, file, { immutable: true });
      },
    },
  };
}
