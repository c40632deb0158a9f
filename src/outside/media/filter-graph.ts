import { AV_OPT_SEARCH_CHILDREN, AV_OPT_TYPE_STRING } from "node-av/constants";
import { Filter, type FilterContext, FilterGraph } from "node-av/lib";
import { must } from "./library.ts";

/** A filter by its FFmpeg name, with its options. */
export type FilterStep = readonly [name: string, options?: Readonly<Record<string, string | number>>];

/** Properties of the frames that go into a graph; frames must match them. */
export interface PictureInput {
  readonly width: number;
  readonly height: number;
  readonly pixelFormat: number;
  /** H.273 code point. */
  readonly matrix: number;
  /** FFmpeg's AVColorRange: 1 limited, 2 full. */
  readonly range: number;
  readonly pixelAspect?: { readonly num: number; readonly den: number };
}

/** A chain of filters. Keep the object: the library frees a graph that nobody holds. */
export interface Chain {
  readonly graph: FilterGraph;
  /** Where frames go in; undefined where the chain's first step reads a file itself. */
  readonly input: FilterContext | undefined;
  readonly sink: FilterContext;
  /** The filters in the order of the steps, to read figures from. */
  readonly steps: readonly FilterContext[];
}

/** A chain that is fed with decoded pictures. Frames' time stamps pass through in the unit given. */
export async function pictureChain(
  source: PictureInput,
  steps: readonly FilterStep[],
  timeBase: { readonly num: number; readonly den: number } = { num: 1, den: 90_000 },
): Promise<Chain> {
  return buildChain(steps, "buffersink", (graph) => {
    const input = graph.allocFilter(Filter.getByName("buffer")!, "in")!;
    must(
      input.buffersrcParametersSet({
        width: source.width,
        height: source.height,
        format: source.pixelFormat as Parameters<FilterContext["buffersrcParametersSet"]>[0]["format"] &
          number,
        timeBase,
        sampleAspectRatio: source.pixelAspect ?? { num: 1, den: 1 },
        colorRange: source.range as Parameters<FilterContext["buffersrcParametersSet"]>[0]["colorRange"] &
          number,
        colorSpace: source.matrix as Parameters<FilterContext["buffersrcParametersSet"]>[0]["colorSpace"] &
          number,
      }),
      "describe pictures",
    );
    must(input.init(null), "start picture input");
    return input;
  });
}

/** A chain that begins with its own source, such as `amovie`. */
export async function sourceChain(
  steps: readonly FilterStep[],
  sink: "buffersink" | "abuffersink",
): Promise<Chain> {
  return buildChain(steps, sink, () => undefined);
}

async function buildChain(
  steps: readonly FilterStep[],
  sinkName: string,
  makeInput: (graph: FilterGraph) => FilterContext | undefined,
): Promise<Chain> {
  const graph = new FilterGraph();
  graph.alloc();
  try {
    const input = makeInput(graph);
    const links = steps.map(([name, options], i) => filterOf(graph, `${name}${i}`, name, options));
    const sink = filterOf(graph, "out", sinkName);
    const all = [...(input ? [input] : []), ...links, sink];
    for (let i = 0; i + 1 < all.length; i++) must(all[i]!.link(0, all[i + 1]!, 0), "link filters");
    must(await graph.config(), "set up filters");
    return { graph, input, sink, steps: links };
  } catch (cause) {
    graph.free();
    throw cause;
  }
}

function filterOf(
  graph: FilterGraph,
  label: string,
  name: string,
  options: Readonly<Record<string, string | number>> = {},
): FilterContext {
  const filter = Filter.getByName(name);
  const context = filter && graph.allocFilter(filter, label);
  if (!context) throw new Error(`this build of the media library has no filter ${name}`);
  // Set one by one, values need no escaping: a path may hold any character.
  for (const [key, value] of Object.entries(options)) {
    must(
      context.setOption(key, String(value), AV_OPT_TYPE_STRING, AV_OPT_SEARCH_CHILDREN),
      `${name} ${key}=${value}`,
    );
  }
  must(context.init(null), `start ${name}`);
  return context;
}
