import { readFile } from "node:fs/promises";
import { basename } from "node:path";
import { type CurveSaid, curveSaidSchema } from "#documents/said";
import { ExplainedError } from "#errors/explained-error";
import { applyClf } from "#formats/clf/apply-clf";
import { readClf } from "#formats/clf/read-clf";
import { parseCube, sampleLut1d } from "#formats/cube/cube";
import { givenCurve, lightOfTable } from "#science/colour/given-curve";
import { sampleLut3d } from "#science/colour/lut3d";

export { curveNames } from "#science/colour/given-curve";

/**
 * A camera's curve as it is named on a command line: a published name, `cameraLinToLog` parameters as JSON, or a
 * .cube or .clf file, whose numbers are kept so that the file need not stay where it is.
 *
 * @throws ExplainedError `CURVE_UNKNOWN`, `LUT_INVALID`, `FILE_MISSING`, `DOCUMENT_NOT_JSON`.
 */
export async function readCurve(word: string): Promise<CurveSaid> {
  if (/\.(cube|clf)$/i.test(word)) return await readTable(word);
  const said = word.trimStart().startsWith("{") ? readParameters(word) : { name: word };
  givenCurve(said);
  return said;
}

async function readTable(path: string): Promise<CurveSaid> {
  const text = await readFile(path, "utf8").catch((cause: unknown) => {
    throw new ExplainedError(
      "FILE_MISSING",
      {
        happened: `There is no file ${path} that can be read.`,
        means: "Nothing was done.",
        doNext: "Check the name and the drive.",
      },
      { path },
      { cause },
    );
  });
  const name = basename(path);
  if (/\.clf$/i.test(path)) {
    const clf = readClf(text);
    return { from: name, light: lightOfTable(name, (colour) => applyClf(clf, colour)) };
  }
  const { kind, lut } = parseCube(text);
  const most = lut.domainMax[1];
  const through =
    kind === "1D"
      ? (colour: [number, number, number]) => sampleLut1d(lut, colour)
      : (colour: [number, number, number]) => sampleLut3d(lut, colour);
  return { from: name, light: lightOfTable(name, ([r, g, b]) => through([r, g, b]), most) };
}

function readParameters(word: string): CurveSaid {
  let json: unknown;
  try {
    json = JSON.parse(word);
  } catch (cause) {
    throw notParameters(word, { cause });
  }
  const read = curveSaidSchema.safeParse(json);
  if (!read.success) throw notParameters(word, {});
  return read.data;
}

function notParameters(word: string, options: { cause?: unknown }): ExplainedError {
  return new ExplainedError(
    "DOCUMENT_NOT_JSON",
    {
      happened: `${word} is not a curve's parameters.`,
      means: "Nothing was done.",
      doNext:
        'Write them as JSON by the names of SMPTE ST 2136-1: {"base": 10, "logSideSlope": 0.25, "logSideOffset": 0.55, "linSideSlope": 1.2, "linSideOffset": 0.012}.',
    },
    { word },
    options,
  );
}
