import { ExplainedError } from "#errors/explained-error";
import { sensorFormatNames, sensorFromText } from "#science/optics/sensor-formats";
import { lengthFromText } from "#science/units/length-words";
import { type MisspeltKey, misspeltKey } from "./misspelt-key.ts";
import { type Plan, planSchema, planVersion } from "./plan.ts";
import { whatIsWrong } from "./what-is-wrong.ts";

/** Fields that hold lengths in metres, and so may be written as text: `85 cm`, `8'6"`. */
const lengths: ReadonlySet<string> = new Set([
  "outline",
  "height",
  "from",
  "to",
  "width",
  "sill",
  "at",
  "size",
  "base",
  "seatHeight",
  "stature",
  "closeFocus",
  "atMetres",
  "face",
  "travel",
  "lowest",
  "highest",
  "footprint",
  "focus",
  "aim",
  "standAt",
]);
/** A day's hours are called `from` and `to` as well. */
const clockTime = /^\d{1,2}:\d{2}$/;

function withLengths(value: unknown, path: readonly string[], isLength: boolean, where: string): unknown {
  if (typeof value === "string") {
    if (!isLength || clockTime.test(value)) return value;
    const metres = lengthFromText(value);
    if (metres !== null) return metres;
    throw new ExplainedError(
      "DOCUMENT_INVALID",
      {
        happened: `${where} says "${value}" for ${path.join(".")}, which is no length.`,
        means: "The program cannot tell how long that is; nothing was changed.",
        doNext: `Write metres as a number, or a length such as "85 cm" or "8'6\\"".`,
      },
      { where, path },
    );
  }
  if (Array.isArray(value))
    return value.map((item, i) => withLengths(item, [...path, String(i)], isLength, where));
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([key, item]) => [
      key,
      key === "sensor" && typeof item === "string"
        ? sensorOf(item, [...path, key], where)
        : withLengths(item, [...path, key], lengths.has(key), where),
    ]),
  );
}

function sensorOf(text: string, path: readonly string[], where: string): [number, number] {
  const size = sensorFromText(text);
  if (size) return size;
  throw new ExplainedError(
    "DOCUMENT_INVALID",
    {
      happened: `${where} says "${text}" for ${path.join(".")}, which is no sensor that the program knows.`,
      means: "The angle of view cannot be told without its size; nothing was changed.",
      doNext: `Write its width and height in millimetres, such as [36, 20.25], or one of: ${sensorFormatNames.join(", ")}.`,
    },
    { where, path },
  );
}

/**
 * Reads a plan's text. Lengths are metres as numbers, or text with a unit; a sensor is its size or a format's name.
 *
 * @param text - The whole file.
 * @param where - Its path, for the sentences of an error.
 * @throws ExplainedError `DOCUMENT_NOT_JSON`, `DOCUMENT_INVALID`, `DOCUMENT_FROM_THE_FUTURE`.
 */
export function planFromText(text: string, where: string): Plan {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (cause) {
    throw new ExplainedError(
      "DOCUMENT_NOT_JSON",
      {
        happened: `${where} is not JSON.`,
        means: "It was cut short or edited by hand with a slip; nothing was changed.",
        doNext:
          "Correct the place that a JSON checker names, or print a plan to begin from: gemel room --example.",
      },
      { where },
      { cause },
    );
  }
  return planFromValue(value, where);
}

/**
 * Reads a plan that was parsed already.
 *
 * @throws ExplainedError `DOCUMENT_INVALID`, `DOCUMENT_FROM_THE_FUTURE`.
 */
function planFromValue(value: unknown, where: string): Plan {
  const version = (value as { version?: unknown } | null)?.version;
  if (typeof version === "number" && version > planVersion)
    throw new ExplainedError(
      "DOCUMENT_FROM_THE_FUTURE",
      {
        happened: `${where} is version ${version}; this program reads plans up to ${planVersion}.`,
        means: "A newer release wrote it. Nothing was changed.",
        doNext: `Update this program, or write version ${planVersion} from the newer one.`,
      },
      { where, version },
    );
  const parsed = planSchema.safeParse(withLengths(value, [], false, where));
  if (parsed.success) {
    const misspelt = misspeltKey(planSchema, value);
    if (misspelt) throw notKnown(misspelt, where);
    return parsed.data;
  }
  const first = parsed.error.issues[0]!;
  const more = parsed.error.issues.length - 1;
  throw new ExplainedError(
    "DOCUMENT_INVALID",
    {
      happened: `${where} is not a plan: ${whatIsWrong(first, value)}${more > 0 ? `, and ${more} more` : ""}.`,
      means: "The program cannot tell what was meant; nothing was changed.",
      doNext: "Correct that place. gemel room --example prints a whole plan to begin from.",
    },
    { where, issues: parsed.error.issues },
  );
}

const notKnown = ({ path, key, meant }: MisspeltKey, where: string): ExplainedError =>
  new ExplainedError(
    "DOCUMENT_INVALID",
    {
      happened: `${where} has "${key}" in ${path.join(".") || "the document"}, which no plan has; it is most likely "${meant}".`,
      means: "It would be passed over in silence; nothing was changed.",
      doNext: `Write "${meant}", or take it out.`,
    },
    { where, path, key },
  );
