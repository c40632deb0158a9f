/**
 * Makes the question "is this path left out of the history?" from patterns in the syntax of .gitignore: `*`, `?`,
 * `[a-z]`, `**`, a leading `/` or an inner one to pin to the root, a trailing `/` for folders alone, `!` to take back,
 * `#` for a comment. A path inside a folder that is left out is left out too.
 *
 * @returns A function of a path with `/` from the root, and whether it is a folder.
 *
 * @remarks Source: ASC MHL Specification v1.0 (2022), ignore patterns; syntax: gitignore(5).
 */
export function ignoredBy(patterns: readonly string[]): (path: string, isFolder: boolean) => boolean {
  const rules = patterns.flatMap((raw) => {
    const line = raw.replace(/(?<!\\)\s+$/, "");
    if (line === "" || line.startsWith("#")) return [];
    const takesBack = line.startsWith("!");
    let body = takesBack ? line.slice(1) : line.replace(/^\\([#!])/, "$1");
    const foldersOnly = body.endsWith("/");
    if (foldersOnly) body = body.slice(0, -1);
    const pinned = body.includes("/");
    const expression = new RegExp(`^${pinned ? "" : "(?:.*/)?"}${glob(body.replace(/^\//, ""))}$`, "su");
    return [{ takesBack, foldersOnly, expression }];
  });
  const itself = (path: string, isFolder: boolean): boolean => {
    let ignored = false;
    for (const rule of rules) {
      if ((!rule.foldersOnly || isFolder) && rule.expression.test(path)) ignored = !rule.takesBack;
    }
    return ignored;
  };
  return (path, isFolder) => {
    const names = path.split("/");
    for (let depth = 1; depth < names.length; depth++) {
      if (itself(names.slice(0, depth).join("/"), true)) return true;
    }
    return itself(path, isFolder);
  };
}

function glob(pattern: string): string {
  let out = "";
  for (let i = 0; i < pattern.length; i++) {
    const rest = pattern.slice(i);
    const klass = /^\[([!^]?)((?:\\.|[^\]\\])(?:\\.|[^\]\\])*)\]/s.exec(rest);
    if (rest.startsWith("**/") && (i === 0 || pattern[i - 1] === "/")) {
      out += "(?:.*/)?";
      i += 2;
    } else if (rest === "**" && (i === 0 || pattern[i - 1] === "/")) {
      out += ".*";
      i += 1;
    } else if (rest[0] === "*") out += "[^/]*";
    else if (rest[0] === "?") out += "[^/]";
    else if (klass) {
      out += `(?!/)[${klass[1] ? "^" : ""}${klass[2]!.replace(/[\\[\]&~]/g, (c) => `\\${c}`)}]`;
      i += klass[0].length - 1;
    } else if (rest[0] === "\\" && rest.length > 1) {
      out += literal(rest[1]!);
      i += 1;
    } else out += literal(rest[0]!);
  }
  return out;
}

function literal(character: string): string {
  return /[\\^$.*+?()[\]{}|/]/.test(character) ? `\\${character}` : character;
}
