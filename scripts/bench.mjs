// npm run bench [chapter ...]: every row of every bench file in one table; each figure beside a reference of the same run.
import { readdirSync } from "node:fs";
import { build } from "./build.mjs";
import { root } from "./steps.mjs";

if (!build()) process.exit(1);
const wanted = process.argv.slice(2);
const files = readdirSync(`${root}dist/bench`)
  .filter((name) => name.endsWith(".bench.js"))
  .filter((name) => wanted.length === 0 || wanted.some((chapter) => name.startsWith(`${chapter}.`)));
const columns = [10, 58, 14, 14, 8, 34];
const line = (cells) =>
  cells
    .map((cell, i) => String(cell).padEnd(columns[i]))
    .join(" ")
    .trimEnd();
const figure = (value) =>
  Math.abs(value) >= 1000 ? value.toFixed(0) : Number(value.toPrecision(4)).toString();
console.log(line(["chapter", "what", "ours", "theirs", "ratio", "reference"]));
for (const file of files) {
  const { default: rows } = await import(`${root}dist/bench/${file}`);
  for await (const { chapter, what, unit, ours, theirs, reference } of rows())
    console.log(
      line([
        chapter,
        what,
        `${figure(ours)} ${unit}`,
        `${figure(theirs)} ${unit}`,
        (ours / theirs).toPrecision(3),
        reference,
      ]),
    );
}
process.exit(0);
