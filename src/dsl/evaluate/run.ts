import type { LoadedFile, LoadedModule } from "./graph.ts";
import { LoadError, readJson, type LoadedJson } from "./graph.ts";
import { packageExports, type Packages } from "./packages.ts";
import type { Realm } from "./realm.ts";

type Exports = Readonly<Record<string, unknown>>;

/** Runs modules in order and gives the exports of the last. Throws LoadError, or what the design throws. */
export function runModules(order: readonly LoadedModule[], packages: Packages, realm: Realm): Exports {
  const results = new Map<LoadedFile, Exports>();
  let last: Exports = {};
  for (const module of order) {
    const taken: Record<string, unknown> = Object.create(null) as Record<string, unknown>;
    const passed: Record<string, unknown> = Object.create(null) as Record<string, unknown>;
    for (const { from, to } of module.imports) {
      const refuse = (...args: RefuseArgs): never => {
        const [code, more, range] = args;
        throw new LoadError(
          code,
          { specifier: from.specifier, ...more },
          module.file,
          module.source.lines,
          range ?? from,
        );
      };
      const exports = to
        ? (results.get(to) ?? jsonExports(to as LoadedJson, realm, results))
        : (packageExports(packages, from.specifier) as Exports | undefined);
      if (!exports) return refuse("import-package", {});
      for (const binding of from.bindings) {
        const { imported, local } = binding;
        if (imported === "*") taken[local] = namespaceOf(exports);
        else if (imported in exports) taken[local] = exports[imported];
        else if (!module.source.isUsedAsType(local)) {
          const names = Object.keys(exports).filter((name) => name !== "default");
          if (imported === "default")
            refuse("import-no-default", { braces: `{ ${names.includes(local) ? local : "…"} }` }, binding);
          refuse("import-no-name", { name: imported, allowed: listed(names) }, binding);
        }
      }
      for (const one of from.passed) {
        if (one.exported === null) {
          for (const name of Object.keys(exports))
            if (name !== "default" && !(name in passed)) passed[name] = exports[name];
        } else if (one.imported === "*") passed[one.exported] = namespaceOf(exports);
        else if (one.imported in exports) passed[one.exported] = exports[one.imported];
        else {
          const names = Object.keys(exports).filter((name) => name !== "default");
          refuse("import-no-name", { name: one.imported, allowed: listed(names) }, one);
        }
      }
    }
    const own = realm.compile(module.source.runnable.body, module.file)(taken);
    last = { ...passed, ...own };
    results.set(module, last);
  }
  return last;
}

type RefuseArgs = [
  code: "import-package" | "import-no-default" | "import-no-name",
  args: Record<string, string>,
  range?: { start: number; end: number },
];

function namespaceOf(exports: Exports): Exports {
  return Object.freeze(Object.assign(Object.create(null), exports) as Exports);
}

function listed(names: string[]): string {
  return names.length > 0 ? names.sort().join(", ") : "nothing";
}

function jsonExports(file: LoadedJson, realm: Realm, results: Map<LoadedFile, Exports>): Exports {
  readJson(file);
  const value = realm.parseJson(file.text);
  const named = typeof value === "object" && value !== null && !Array.isArray(value) ? value : {};
  const exports: Exports = { ...named, default: value };
  results.set(file, exports);
  return exports;
}
