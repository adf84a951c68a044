import { generateDtsBundle } from "dts-bundle-generator";
import { existsSync, globSync, readFileSync } from "node:fs";
import { dirname, join, posix, sep } from "node:path";

/**
 * The kit's types as one file that needs no other, for the editors of makers. Members marked
 * `@internal` are gone; classes stay distinct from one another and cannot be constructed.
 */
export function kitTypes(root: string): string {
  const [bundled] = generateDtsBundle(
    [
      {
        filePath: join(root, "src/dsl/index.ts"),
        output: { noBanner: true, exportReferencedTypes: false },
      },
    ],
    { preferredConfigPath: join(root, "scripts/types.tsconfig.json") },
  );
  const header = "// Generated from the kit's sources by scripts/build.ts.\n";
  return header + bundled.replace(/^export declare class [^\n]*\{\n[\s\S]*?^\}$/gm, sealed);
}

function sealed(declaration: string): string {
  const members = /^\tconstructor\(/m.test(declaration)
    ? "\t#private;"
    : "\t#private;\n\tprivate constructor();";
  return declaration.replace("{\n", `{\n${members}\n`);
}

/**
 * The types of `@jscad/modeling` and of each of its folders as one file of ambient modules, for a
 * folder that has not installed the package.
 */
export function solidsTypes(root: string): string {
  const name = "@jscad/modeling";
  const folder = join(root, "node_modules", name);
  const { version } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8")) as { version: string };
  const files = globSync("src/**/*.d.ts", { cwd: folder }).map((file) => file.split(sep).join("/"));
  const modules = files.toSorted().map((file) => {
    const target = (specifier: string) => {
      const wanted = posix.join(dirname(file), specifier);
      const found = [`${wanted}.d.ts`, `${wanted}/index.d.ts`].find((one) => existsSync(join(folder, one)));
      if (!found) throw new Error(`${file} of ${name} imports ${specifier}, which has no types`);
      return `${name}/${found.slice(0, -".d.ts".length)}`;
    };
    const body = readFileSync(join(folder, file), "utf8")
      .replace(/\r\n/g, "\n")
      .replace(/^export as namespace .*$/gm, "")
      .replace(/^(export )?declare /gm, "$1")
      .replace(
        /(from\s+|import\()(['"])(\.[^'"]*)\2/g,
        (_, before: string, quote: string, specifier: string) => {
          return `${before}${quote}${target(specifier)}${quote}`;
        },
      )
      .trim();
    return ambient(`${name}/${file.slice(0, -".d.ts".length)}`, body);
  });
  const folders = files
    .filter((file) => file.endsWith("/index.d.ts"))
    .map((file) =>
      ambient(`${name}/${posix.dirname(file)}`, `export * from "${name}/${file.slice(0, -".d.ts".length)}"`),
    );
  const licence = readFileSync(join(folder, "LICENSE"), "utf8").trim();
  return [
    "// Generated from the package's own types by scripts/build.ts.",
    `/*\n${name} ${version}\n\n${licence}\n*/`,
    ambient(name, `export * from "${name}/src/index"`),
    ...folders,
    ...modules,
    "",
  ].join("\n");
}

const ambient = (name: string, body: string) => `declare module "${name}" {\n${body}\n}`;
