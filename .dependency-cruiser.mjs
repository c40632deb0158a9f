const layer = (name, from, allowed, comment) => ({
  name,
  severity: "error",
  comment,
  from: { path: from },
  to: { path: "^(src|demo|bench|test)/", pathNot: allowed },
});

/** Layer rules: who may import whom. A sentence per rule, shown when it is broken. */
export default {
  forbidden: [
    {
      name: "no-cycles",
      severity: "error",
      comment: "Two modules that import each other cannot be understood apart.",
      from: {},
      to: { circular: true, viaOnly: { dependencyTypesNot: ["type-only"] } },
    },
    layer("errors-know-nobody", "^src/errors/", ["^src/errors/"], "errors imports nothing of ours."),
    layer(
      "science-is-arithmetic",
      "^src/science/",
      ["^src/(errors|science)/"],
      "science takes numbers and gives numbers; it imports errors alone.",
    ),
    layer(
      "formats-are-bytes",
      "^src/formats/",
      ["^src/(errors|science|formats)/"],
      "formats read and write open standards; they import errors and science.",
    ),
    layer(
      "documents-are-shapes",
      "^src/documents/",
      ["^src/(errors|science|documents)/"],
      "documents are shapes and upgrades; they import errors and science.",
    ),
    layer(
      "chapters-touch-nothing",
      "^src/chapters/",
      ["^src/(errors|science|formats|documents|chapters)/"],
      "chapters decide and touch nothing.",
    ),
    {
      name: "no-chapter-to-chapter",
      severity: "error",
      comment: "Chapters hand over by document; what two share moves down into science.",
      from: { path: "^src/chapters/([^/]+)/" },
      to: { path: "^src/chapters/([^/]+)/", pathNot: "^src/chapters/$1/" },
    },
    layer(
      "outside-is-thin",
      "^src/outside/",
      ["^src/(errors|science|formats|documents|outside)/"],
      "outside touches the world and knows no chapter.",
    ),
    layer(
      "demo-stands-beside-jobs",
      "^demo/",
      ["^demo/", "^src/(errors|science|formats|documents|outside)/"],
      "the demo makes media; it knows no chapter and no job.",
    ),
    layer(
      "jobs-know-no-door",
      "^src/jobs/",
      ["^src/(errors|science|formats|documents|chapters|outside|jobs)/", "^demo/"],
      "jobs import all below; never an entry.",
    ),
    layer(
      "doors-open-jobs",
      "^src/entry/(cli|server)/",
      ["^src/(errors|documents|jobs|outside/time|entry/(cli|server))/"],
      "command line and server import jobs, documents and errors.",
    ),
    layer(
      "pages-run-in-browsers",
      "^src/entry/pages/",
      ["^src/(errors|science|formats|chapters|documents|entry/pages)/"],
      "pages know no files and no FFmpeg.",
    ),
    {
      name: "one-door-to-ffmpeg",
      severity: "error",
      comment: "Only src/outside/media may import the FFmpeg binding.",
      from: { pathNot: "^src/outside/media/" },
      to: { path: "node_modules/node-av" },
    },
    {
      name: "no-node-below-outside",
      severity: "error",
      comment: "Arithmetic, shapes and chapters run anywhere: no Node modules.",
      from: {
        path: "^src/(errors|science|formats|documents|chapters|entry/pages)/",
        pathNot: "\\.test\\.tsx?$|vite\\.config\\.ts$",
      },
      to: { dependencyTypes: ["core"] },
    },
  ],
  options: {
    doNotFollow: { path: "node_modules" },
    exclude: { path: "\\.test\\.tsx?$|^dist/|\\.d\\.ts$" },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.base.json" },
    enhancedResolveOptions: {
      conditionNames: ["source", "import", "types", "node", "default"],
      exportsFields: ["exports"],
    },
  },
};
