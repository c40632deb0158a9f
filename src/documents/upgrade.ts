import { ExplainedError } from "#errors/explained-error";
import { type Sitting, sittingSchema, sittingVersion } from "./sitting.ts";
import { whatIsWrong } from "./what-is-wrong.ts";

/** One step: takes a document of version n, gives one of version n + 1. Pure, small, never skipped. */
type Upgrade = (document: Record<string, unknown>) => Record<string, unknown>;

/** Index 0 takes version 0 (the shape before the first release, which named no version) to version 1. */
const upgrades: readonly Upgrade[] = [
  ({ version: _none, ...rest }) => ({
    places: ["originals"],
    roles: [],
    ...rest,
    kind: "gemel.sitting",
    version: 1,
    decisions: {
      loudnessTarget: -18,
      truePeakCeiling: -1,
      keepQuestions: false,
      longestPause: 1.2,
      ...(rest["decisions"] as object | undefined),
    },
  }),
];

/**
 * Reads a sitting's text: checks its shape, and brings an older version up to the newest one.
 *
 * @param text - The whole of sitting.json.
 * @param where - Its path, for the sentences of an error.
 * @throws ExplainedError `DOCUMENT_NOT_JSON`, `DOCUMENT_INVALID`, `DOCUMENT_FROM_THE_FUTURE`.
 */
export function sittingFromText(text: string, where: string): Sitting {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (cause) {
    throw new ExplainedError(
      "DOCUMENT_NOT_JSON",
      {
        happened: `${where} is not JSON.`,
        means: "It was cut short or edited by hand with a slip; nothing was changed.",
        doNext: "Put back a copy of the file, or correct the place that a JSON checker names.",
      },
      { where },
      { cause },
    );
  }
  let document = (typeof value === "object" && value !== null ? value : {}) as Record<string, unknown>;
  let version = typeof document["version"] === "number" ? document["version"] : 0;
  if (version > sittingVersion)
    throw new ExplainedError(
      "DOCUMENT_FROM_THE_FUTURE",
      {
        happened: `${where} is version ${version}; this program reads up to ${sittingVersion}.`,
        means: "A newer release wrote it. Nothing was changed.",
        doNext: `Update this program, or write version ${sittingVersion} from the newer one.`,
      },
      { where, version },
    );
  for (; version < sittingVersion; version++) document = upgrades[version]!(document);
  const parsed = sittingSchema.safeParse(document);
  if (parsed.success) return parsed.data;
  const first = parsed.error.issues[0]!;
  throw new ExplainedError(
    "DOCUMENT_INVALID",
    {
      happened: `${where} is not a sitting: ${whatIsWrong(first, document)}.`,
      means: "The program cannot tell what was meant; nothing was changed.",
      doNext: "Correct that field, or name the folder of another sitting.",
    },
    { where, issues: parsed.error.issues },
  );
}
