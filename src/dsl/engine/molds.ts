import { Body } from "../kit/body.ts";
import { KitError } from "../kit/error.ts";
import { Mold } from "../kit/mold.ts";
import { isMoldName } from "../kit/mold-options.ts";
import { show } from "../kit/options.ts";

/** What a design exports: molds by name, or a body to look at. */
export type Exported =
  { kind: "molds"; molds: { name: string; mold: Mold }[] } | { kind: "body"; body: Body };

/**
 * Reads the default export: a mold, an array or a record of molds, or a body. A mold is called by
 * its own `name`, else by its key or number, else by the design. Anything else throws.
 */
export function exportedMolds(value: unknown, design: string): Exported {
  if (value instanceof Body) return { kind: "body", body: value };
  if (value instanceof Mold)
    return { kind: "molds", molds: [{ name: value.spec.name ?? design, mold: value }] };
  if (typeof value !== "object" || value === null) throw notMolds(show(value));
  const entries: [string, unknown][] = Array.isArray(value)
    ? value.map((one, i): [string, unknown] => [`${design}-${i + 1}`, one])
    : Object.entries(value);
  if (entries.length === 0) throw notMolds("nothing in it");
  const molds = entries.map(([name, one]) => {
    if (!(one instanceof Mold)) throw notMolds(`“${name}” is ${show(one)}`);
    return { name: one.spec.name ?? name, mold: one };
  });
  const seen = new Map<string, string>();
  for (const { name, mold } of molds) {
    if (!isMoldName(name)) {
      const reason = `${show(name)} names no files; a mold is kept under letters, digits, - and _, at most 60.`;
      throw new KitError("kit-conflict", { call: "export default", reason }, { call: -1 });
    }
    // Folders whose names differ in capitals alone are one on some disks.
    const before = seen.get(name.toLowerCase());
    if (before !== undefined) {
      const reason =
        before === name
          ? `two molds of this design are called “${name}”; give each its own name.`
          : `two molds of this design are called “${before}” and “${name}”, which is one name to some disks; give each its own.`;
      throw new KitError(
        "kit-conflict",
        { call: "mold", reason },
        { call: mold.spec.call, argument: 1, path: ["name"] },
      );
    }
    seen.set(name.toLowerCase(), name);
  }
  return { kind: "molds", molds };
}

function notMolds(value: string): KitError {
  return new KitError(
    "kit-wrong-type",
    {
      call: "export default",
      key: "the design",
      allowed: "a mold(…), a list of molds, or a body to look at",
      value,
    },
    { call: -1 },
  );
}

export function notExportable(): KitError {
  return new KitError(
    "kit-conflict",
    {
      call: "export default",
      reason: "this is a body, and only a mold has parts to print; wrap it in mold(…).",
    },
    { call: -1 },
  );
}

export function nothingBuildable(): KitError {
  return new KitError(
    "kit-conflict",
    { call: "export default", reason: "no mold of this design can be made; see its findings." },
    { call: -1 },
  );
}
