/**
 * The linter's rules, above all who may import whom. A folder's place in the house decides what it may know:
 * see "Layers" in DEVELOPERS.md. tests/house/layers.test.ts proves that the rules bite.
 */

type Pattern = { readonly message: string } & ({ readonly regex: string } | { readonly group: readonly string[] });

/** Inside core the arrows run downwards; a folder may import from its own row and the rows below. */
const CORE_ROWS: readonly (readonly string[])[] = [
  ["geometry", "image", "statistics"],
  ["job"],
  ["marks", "cuts", "codes", "camera", "judge"],
  ["check", "trend", "setaside", "gauge", "design", "witness"],
];

const noPlatform: Pattern = {
  regex: "^(node:|electron$|electron/|fs$|fs/|path$|os$|child_process$|worker_threads$|react|sharp$|better-sqlite3$|hono)",
  message: "core is pure: no file system, no DOM, no Electron.",
};
const leaving = (...folders: string[]): Pattern => ({
  regex: `^(\\.\\./)+(${folders.join("|")})/`,
  message: `Not from here: ${folders.join(", ")}.`,
});
const noElectron: Pattern = { regex: "^electron(/|$)", message: "Only electron/shell imports Electron." };
const outsideCore = [noPlatform, leaving("electron", "renderer", "tests", "tools", "samples")];

/** Folders of core by name, wherever in core the importing file lies; the record's types (check/record.ts) are everybody's. */
const coreFolders = (...folders: string[]): Pattern => ({
  group: [...folders.map((folder) => `**/${folder}/**`), "!**/check/record.ts"],
  message: "Inside core the arrows run downwards: check -> (marks, cuts, codes, camera, judge) -> job -> (image, geometry, statistics).",
});

const restrict = (...patterns: Pattern[]) => ({ "no-restricted-imports": ["error", { patterns }] as const });

const coreOverrides = CORE_ROWS.flatMap((row, i) =>
  row.map((folder) => ({
    files: [`core/${folder}/**/*.ts`],
    rules: restrict(...outsideCore, coreFolders(...CORE_ROWS.slice(i + 1).flat(), "sample")),
  })),
);

export default {
  plugins: ["typescript", "import", "unicorn", "oxc", "promise", "react", "jsx-a11y"],
  categories: { correctness: "error", suspicious: "off", perf: "off" },
  ignorePatterns: ["dist", "release", "node_modules", ".cache", "coverage", "samples"],
  rules: {
    "import/no-cycle": "error",
    "import/no-self-import": "error",
    "typescript/no-explicit-any": "error",
    "typescript/ban-ts-comment": "error",
    "typescript/consistent-type-imports": ["error", { disallowTypeAnnotations: false }],
    // A filled `new Array(n)` is how numeric code makes a vector.
    "unicorn/no-new-array": "off",
    // A declaration file of ours for a package's inner module can be had in no other way.
    "typescript/triple-slash-reference": "off",
    // Accessibility is tested on the real pages by axe-core; these guess from the source alone.
    "jsx-a11y/prefer-tag-over-role": "off",
    "jsx-a11y/control-has-associated-label": "off",
    "jsx-a11y/no-static-element-interactions": "off",
    // Written for React's compiler, which is not used.
    "react/set-state-in-effect": "off",
    "react/refs": "off",
    "no-empty": "error",
    "no-eval": "error",
    "no-new-func": "error",
    "no-var": "error",
    "prefer-const": "error",
    eqeqeq: ["error", "always", { null: "ignore" }],
    "no-warning-comments": ["error", { terms: ["fixme", "xxx", "hack"] }],
    "max-lines": ["error", { max: 500 }],
  },
  overrides: [
    { files: ["core/**/*.ts"], rules: { "no-console": "error", ...restrict(...outsideCore) } },
    ...coreOverrides,
    // The samples' physics must not be the measurement run backwards.
    { files: ["core/sample/**/*.ts"], rules: restrict(...outsideCore, coreFolders("marks", "cuts", "check")) },
    {
      files: ["renderer/**/*.ts", "renderer/**/*.tsx"],
      rules: restrict(noElectron, { regex: "^node:", message: "The screens run in a browser." }, leaving("tests", "tools"), {
        regex: "^(\\.\\./)+electron/(cli|shell)/",
        message: "Of electron the screens know only the host's types and its client.",
      }),
    },
    { files: ["renderer/**/vite.config.ts"], rules: { "no-restricted-imports": "off" } },
    { files: ["electron/host/**/*.ts"], rules: restrict(noElectron, leaving("cli", "shell", "renderer", "tests", "tools")) },
    { files: ["electron/cli/**/*.ts"], rules: restrict(noElectron, leaving("shell", "renderer", "tests", "tools")) },
    { files: ["electron/shell/**/*.ts"], rules: restrict(leaving("cli", "renderer", "tests", "tools")) },
    // Playwright's fixtures name what they use, and some use nothing.
    { files: ["tests/screens/**/*.ts"], rules: { "no-empty-pattern": "off" } },
    { files: ["tests/**/*.ts", "tests/**/*.tsx", "tools/**/*.ts", "tools/**/*.mjs"], rules: restrict(noElectron) },
  ],
};
