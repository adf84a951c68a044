/** The packages that a design may import, by name: their exports as properties. */
export type Packages = Readonly<Record<string, object>>;

/**
 * The exports of a package or of a folder of `@jscad/modeling`, such as
 * `@jscad/modeling/src/primitives`; undefined where there is no such folder.
 */
export function packageExports(packages: Packages, specifier: string): object | undefined {
  if (Object.hasOwn(packages, specifier)) return packages[specifier];
  const root = "@jscad/modeling";
  if (!specifier.startsWith(`${root}/`) || !Object.hasOwn(packages, root)) return undefined;
  const folders = specifier
    .slice(root.length + 1)
    .replace(/^src\//, "")
    .replace(/(\/index)?(\.js)?$/, "")
    .split("/")
    .filter(Boolean);
  let value: unknown = packages[root];
  for (const folder of folders) {
    if (typeof value !== "object" || value === null || !Object.hasOwn(value, folder)) return undefined;
    value = (value as Record<string, unknown>)[folder];
  }
  if (typeof value === "function") return { default: value };
  return typeof value === "object" && value !== null ? { ...value, default: value } : undefined;
}
