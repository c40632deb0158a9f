import { parseArgs } from "node:util";
import { nearestWord } from "#documents/nearest-word";
import { ExplainedError } from "#errors/explained-error";

/** One option, declared once; help and parsing are made from it. */
export interface OptionSpec {
  /** `flag` takes nothing, `one` takes a word, `many` takes every word up to the next option. */
  readonly takes: "flag" | "one" | "many";
  /** What stands for the word in help: FILE, DIR, SECONDS. */
  readonly word?: string;
  readonly help: string;
}

export interface CommandSpec {
  readonly name: string;
  /** How the words are laid out: `gemel clock FILE...`. */
  readonly usage: string;
  /** One line for the list of commands. */
  readonly help: string;
  /** One or two lines that can be typed as they are, with what they do. */
  readonly example: string;
  readonly options: Readonly<Record<string, OptionSpec>>;
}

/** A call, taken apart. */
export interface Call {
  readonly words: readonly string[];
  has(option: string): boolean;
  one(option: string): string | undefined;
  many(option: string): readonly string[];
}

export const usageError = (spec: { usage: string; name: string }, happened: string): ExplainedError =>
  new ExplainedError("USAGE", {
    happened,
    means: "Nothing was done.",
    doNext: `The call is: ${spec.usage}. More: gemel ${spec.name} --help.`,
  });

const common: Readonly<Record<string, OptionSpec>> = {
  json: { takes: "flag", help: "print one JSON document on standard output" },
  help: { takes: "flag", help: "show this text" },
};

export const optionsOf = (spec: CommandSpec): Readonly<Record<string, OptionSpec>> => ({
  ...spec.options,
  ...common,
});

/**
 * Takes a command's words apart.
 *
 * @throws ExplainedError `USAGE` naming the first word that does not fit.
 */
export function parseCall(spec: CommandSpec, args: readonly string[]): Call {
  const options = optionsOf(spec);
  const { tokens } = parseArgs({
    args: [...args],
    options: Object.fromEntries(
      Object.entries(options).map(
        ([name, { takes }]) =>
          [name, { type: takes === "flag" ? "boolean" : "string", multiple: true }] as const,
      ),
    ),
    strict: false,
    allowPositionals: true,
    tokens: true,
  });
  const words: string[] = [];
  const values = new Map<string, string[]>();
  let open: string | undefined;
  for (const token of tokens) {
    if (token.kind === "positional") {
      if (open === undefined) words.push(token.value);
      else values.get(open)!.push(token.value);
    } else if (token.kind === "option") {
      const option = options[token.name];
      if (!option) {
        const close = nearestWord(token.name, Object.keys(options));
        throw usageError(
          spec,
          `gemel ${spec.name} has no option ${token.rawName}${close === null ? "." : `; did you mean --${close}?`}`,
        );
      }
      if (
        option.takes !== "flag" &&
        (token.value === undefined || (token.value.startsWith("--") && !token.inlineValue))
      )
        throw usageError(spec, `${token.rawName} needs ${option.word ?? "a word"} after it.`);
      if (option.takes === "one" && values.has(token.name))
        throw usageError(spec, `${token.rawName} was given twice.`);
      const list = values.get(token.name) ?? [];
      if (token.value !== undefined) list.push(token.value);
      values.set(token.name, list);
      open = option.takes === "many" ? token.name : undefined;
    } else open = undefined;
  }
  return {
    words,
    has: (option) => values.has(option),
    one: (option) => values.get(option)?.[0],
    many: (option) => values.get(option) ?? [],
  };
}

const width = 80;

/** Breaks text at blanks to lines of at most 80 characters, continued under `indent`. */
function wrap(text: string, indent: number): string {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    if (line !== "" && indent + line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === "" ? word : `${line} ${word}`;
  }
  return [...lines, line].join(`\n${" ".repeat(indent)}`);
}

/** The text of `gemel COMMAND --help`. */
export function helpText(spec: CommandSpec): string {
  const rows = Object.entries(optionsOf(spec)).map(([name, { takes, word = "WORD", help }]) => {
    const left = `  --${name}${takes === "flag" ? "" : takes === "one" ? ` ${word}` : ` ${word}...`}`;
    return `${left.padEnd(26)}${left.length > 25 ? `\n${" ".repeat(26)}` : ""}${wrap(help, 26)}`;
  });
  return `${spec.help}\n\n${spec.usage}\n\n${rows.join("\n")}\n\nExample:\n  ${spec.example.replaceAll("\n", "\n  ")}\n`;
}
