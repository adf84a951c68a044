import tseslint from "typescript-eslint";

/** Borders between folders: what a folder may not import, and why. */
const border = (files, patterns, allow) => ({
  files,
  ignores: allow ?? [],
  rules: { "@typescript-eslint/no-restricted-imports": ["error", { patterns }] },
});
const noEditor = { group: ["vscode"], message: "Only src/extension may know the editor." };
const noKernel = { group: ["manifold-3d"], message: "Only src/dsl/solid/kernel.ts may import the kernel." };
const noParser = {
  group: ["@babel/parser", "magic-string", "amaro"],
  message: "Only src/dsl/source knows the parser.",
};
const noPreview = { group: ["**/preview/**"], message: "The preview is reached by messages only." };
const noExtension = {
  group: ["**/extension/**"],
  message: "The engine and the preview do not know the extension.",
};
const noDsl = { group: ["**/dsl/**"], message: "The preview knows shared/ only." };
const noNode = { group: ["node:*"], message: "The preview runs in a web page." };
const onlyEngineHost = {
  regex: "/dsl/(?!engine/host\\.ts$)",
  message: "The extension wires: of src/dsl it may import engine/host.ts alone.",
};

export default tseslint.config(
  {
    ignores: [
      "dist/**",
      "out/**",
      ".cache/**",
      "examples/**",
      "eslint.config.js",
      "**/*.mjs",
      "**/*.cjs",
      "tests/fixtures/**",
    ],
  },
  ...tseslint.configs.recommendedTypeChecked,
  {
    languageOptions: {
      parserOptions: {
        project: [
          "src/dsl/tsconfig.json",
          "src/extension/tsconfig.json",
          "src/preview/tsconfig.json",
          "tests/tsconfig.json",
          "scripts/tsconfig.json",
        ],
        tsconfigRootDir: import.meta.dirname,
      },
    },
    rules: {
      "@typescript-eslint/no-floating-promises": "error",
      "@typescript-eslint/no-misused-promises": "error",
      "@typescript-eslint/switch-exhaustiveness-check": [
        "error",
        { considerDefaultExhaustiveForUnions: true },
      ],
      "@typescript-eslint/restrict-template-expressions": ["error", { allowNumber: true }],
      "no-empty": ["error", { allowEmptyCatch: false }],
      eqeqeq: "error",
    },
  },
  border(
    ["src/dsl/**/*.ts"],
    [noEditor, noPreview, noExtension, noKernel, noParser],
    ["src/dsl/solid/kernel.ts", "src/dsl/source/**"],
  ),
  border(["src/dsl/solid/kernel.ts"], [noEditor, noPreview, noExtension, noParser]),
  border(["src/dsl/source/**/*.ts"], [noEditor, noPreview, noExtension, noKernel]),
  border(["src/extension/**/*.ts"], [noPreview, noKernel, noParser, onlyEngineHost]),
  border(["src/preview/**/*.ts"], [noEditor, noDsl, noExtension, noNode]),
  border(["shared/**/*.ts"], [noEditor, noDsl, noExtension, noPreview, noNode]),
);
