import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { createServer, type ViteDevServer } from "vite";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { loftPlan } from "#demo/loft-plan";
import type { CheeksAnswer, SlideAnswer } from "../../src/entry/pages/fixture/lens.ts";
import { openBrowser, softwareGraphics } from "../helpers/browser.ts";

/*
 * The viewfinder's pixels against the formulas of optics, rendered by the page's own code in a browser whose graphics are
 * software: what it draws is the same, only slower.
 */

const root = fileURLToPath(new URL("../../src/entry/pages/", import.meta.url));
const cache = fileURLToPath(new URL("../../.cache/vite-lens/", import.meta.url));

let server: ViteDevServer;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  server = await createServer({
    root,
    configFile: false,
    logLevel: "error",
    cacheDir: cache,
    server: { host: "127.0.0.1", port: 0, hmr: false },
    resolve: { conditions: ["source", "module", "browser", "development|production"] },
    optimizeDeps: { include: ["three", "zod"] },
  });
  await server.listen();
  browser = await openBrowser(softwareGraphics);
  page = await browser.newPage();
  const address = server.httpServer!.address();
  const port = typeof address === "object" && address ? address.port : 0;
  await page.goto(`http://127.0.0.1:${port}/fixture/lens.html`);
  await page.waitForFunction("window.lens !== undefined");
});
afterAll(async () => {
  await browser?.close();
  await server?.close();
});

interface Picture {
  readonly width: number;
  readonly height: number;
  /** Of every pixel, base64. */
  readonly red: string;
}
const redOf = (picture: Picture): Uint8Array => Buffer.from(picture.red, "base64");

/** Where four checks meet: the place about a guess at which the two diagonals differ most, to half a pixel. */
function meetingPoint(red: Uint8Array, width: number, [gx, gy]: readonly [number, number]): [number, number] {
  const arm = 6;
  const sum = (x0: number, y0: number): number => {
    let total = 0;
    for (let y = y0; y < y0 + arm; y++) for (let x = x0; x < x0 + arm; x++) total += red[y * width + x]!;
    return total;
  };
  let best = { score: -1, x: 0, y: 0 };
  for (let y = Math.round(gy) - 4; y <= Math.round(gy) + 4; y++)
    for (let x = Math.round(gx) - 4; x <= Math.round(gx) + 4; x++) {
      const score = Math.abs(sum(x - arm, y - arm) + sum(x, y) - sum(x, y - arm) - sum(x - arm, y));
      if (score > best.score) best = { score, x, y };
    }
  return [best.x, best.y];
}

describe("a box with checks of 10 cm, against the pin-hole: place = f·X/Z", () => {
  it.each([
    [35, 2.4, 0],
    [50, 3, 20],
    [85, 4.5, -35],
  ])("%f mm at %f m, turned %f°: every corner within a pixel", async (focal, metres, turn) => {
    const picture = await page.evaluate(
      ([f, m, t]) =>
        (
          window as unknown as { lens: { board(...of: number[]): Picture & { corners: [number, number][] } } }
        ).lens.board(f, m, t, 1200),
      [focal, metres, turn] as const,
    );
    const red = redOf(picture);
    const inside = picture.corners.filter(
      ([x, y]) => x > 14 && y > 14 && x < picture.width - 14 && y < picture.height - 14,
    );
    expect(inside.length).toBeGreaterThan(30);
    for (const corner of inside) {
      const [x, y] = meetingPoint(red, picture.width, corner);
      expect(Math.hypot(x - corner[0], y - corner[1])).toBeLessThan(1);
    }
    // By hand for the plain case: a check of 0.1 m at (2.4 - 0.2) m, 1200 px to 36 mm.
    if (turn === 0) {
      const [a, b] = [
        meetingPoint(red, picture.width, picture.corners[2]!),
        meetingPoint(red, picture.width, picture.corners[7]!),
      ];
      expect(Math.abs(b[0] - a[0] - (0.1 * 35 * 1200) / 36 / 2.2)).toBeLessThan(2);
    }
  });
});

describe("a point out of focus, against (f²/N)·|d - s|/(d(s - f))", () => {
  it.each([
    [85, 1.8, 2.3, 6, 1],
    [85, 2.8, 2.5, 1.6, 1],
    [60, 2.8, 2.4, 7, 1.5],
  ])(
    "%f mm f/%f focused at %f m, the point at %f m, squeeze %f: within 5 %",
    async (focal, stop, focus, metres, squeeze) => {
      const picture = await page.evaluate(
        ([f, n, s, d, q]) =>
          (
            window as unknown as {
              lens: { disc(...of: number[]): Picture & { across: number; up: number; point: number } };
            }
          ).lens.disc(f, n, s, d, q),
        [focal, stop, focus, metres, squeeze] as const,
      );
      const xs: number[] = [];
      const ys: number[] = [];
      redOf(picture).forEach((value, i) => {
        if (value < 24) return;
        xs.push(i % picture.width);
        ys.push(Math.floor(i / picture.width));
      });
      const across = Math.max(...xs) - Math.min(...xs) + 1 - picture.point;
      const up = Math.max(...ys) - Math.min(...ys) + 1 - picture.point;
      expect(Math.abs(up / picture.up - 1)).toBeLessThan(0.05);
      expect(Math.abs(across / picture.across - 1)).toBeLessThan(0.05);
    },
  );
});

describe("the light of the picture, against the figures of light", () => {
  // Within a third of a stop: the step in which light is set. Common practice.
  it.each([
    ["lamps alone", null],
    ["lamps and a clear day at two", 14 * 60],
  ] as const)("key to fill by %s is within a third of a stop", async (_, minute) => {
    const { place, when, ...indoors } = loftPlan;
    const plan = minute === null ? indoors : { ...indoors, place, when };
    const { left, right, keyToFillStops } = await page.evaluate(
      ([of, at]) =>
        (window as unknown as { lens: { cheeks(of: object, at: number): CheeksAnswer } }).lens.cheeks(of, at),
      [plan, minute ?? 0] as const,
    );
    const [lit, shadow] = [Math.max(left, right), Math.min(left, right)];
    // The lit cheek is exposed a stop over grey, by its own lux: neither black nor clipped.
    expect(lit).toBeGreaterThan(0.25);
    expect(lit).toBeLessThan(0.5);
    expect(keyToFillStops).toBeGreaterThan(0.3);
    expect(Math.abs(Math.log2(lit / shadow) - keyToFillStops)).toBeLessThan(1 / 3);
  });
});

describe("a slide as the page plays it, against the figures of the move", () => {
  it("the pan holds the sitter's point across the frame, and the background drifts by the figure's amount", async () => {
    const { places, drift, wander } = await page.evaluate(
      (of) =>
        (window as unknown as { lens: { slide(of: object, width: number): SlideAnswer } }).lens.slide(
          of,
          1200,
        ),
      loftPlan,
    );
    const xs = places.map(({ held }) => held[0]);
    const ys = places.map(({ held }) => held[1]);
    // The head that the page shows points as it ought to: across the frame exactly, which is a pixel here; up and down a head
    // that does not tilt lets the point go as far as the figures say, at the most.
    expect(Math.max(...xs) - Math.min(...xs)).toBeLessThan(1);
    expect(Math.max(...ys) - Math.min(...ys)).toBeLessThan(2 * wander + 1);
    const [first, last] = [places[0]!.behind, places.at(-1)!.behind];
    // A drift of under ten pixels would prove little.
    expect(drift).toBeGreaterThan(50);
    expect(Math.abs(Math.hypot(last[0] - first[0], last[1] - first[1]) - drift)).toBeLessThan(2);
  });
});
