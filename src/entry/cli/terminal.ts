import type { Finding, Weight } from "#documents/finding";

/** Printers' reference marks in descending order, as everywhere in Gemel. */
export const markOf: Readonly<Record<Weight, string>> = { stop: "‡", warn: "†", note: "*" };

const order: readonly Weight[] = ["stop", "warn", "note"];

/** Findings, worst first, each with its remedy beneath. */
export function findingsText(findings: readonly Finding[]): string {
  return [...findings]
    .sort((a, b) => order.indexOf(a.weight) - order.indexOf(b.weight))
    .map(({ weight, says, remedy }) => `  ${markOf[weight]} ${says}\n    ${remedy}\n`)
    .join("");
}

export interface ProgressDisplay {
  show(name: string, done: number, doing: string): void;
  /** Ends a row with a sentence. */
  end(name: string, sentence: string): void;
  say(text: string): void;
  close(): void;
}

const barWidth = 24;
const titleWidth = 10;
/** On a pipe, a row is told again only after this much more is done. */
const plainStep = 0.25;

/** Rows that are redrawn in place on a terminal; plain lines, each said once, anywhere else. All on standard error. */
export function openProgress(stream: NodeJS.WriteStream = process.stderr): ProgressDisplay {
  return stream.isTTY ? drawn(stream) : plain(stream);
}

function drawn(stream: NodeJS.WriteStream): ProgressDisplay {
  const rows = new Map<string, string>();
  let height = 0;
  const clear = (): void => {
    if (height > 0) stream.write(`\x1b[${height}A\x1b[0J`);
    height = 0;
  };
  const draw = (): void => {
    const columns = stream.columns ?? 80;
    for (const [, row] of rows) stream.write(`${row.slice(0, columns - 1)}\n`);
    height = rows.size;
  };
  const above = (text: string): void => {
    clear();
    stream.write(text);
    draw();
  };
  return {
    show: (name, done, doing) => {
      const full = Math.round(Math.min(1, Math.max(0, done)) * barWidth);
      clear();
      rows.set(
        name,
        `  ${name.padEnd(titleWidth)}${"━".repeat(full)}${"·".repeat(barWidth - full)} ${doing}`,
      );
      draw();
    },
    end: (name, sentence) => {
      rows.delete(name);
      above(`  ${name.padEnd(titleWidth)}${sentence}\n`);
    },
    say: (text) => above(`${text}\n`),
    close: clear,
  };
}

function plain(stream: NodeJS.WriteStream): ProgressDisplay {
  const told = new Map<string, number>();
  return {
    show: (name, done, doing) => {
      if (done - (told.get(name) ?? Number.NEGATIVE_INFINITY) < plainStep) return;
      told.set(name, done);
      stream.write(`${name}: ${Math.round(done * 100)} % ${doing}\n`);
    },
    end: (name, sentence) => void stream.write(`${name}: ${sentence}\n`),
    say: (text) => void stream.write(`${text}\n`),
    close: () => {},
  };
}
