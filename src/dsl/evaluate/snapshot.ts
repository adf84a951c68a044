import { types } from "node:util";
import type { LoadError } from "./graph.ts";

/**
 * What a design exports, read once while its own code may still run: a list or a record is copied,
 * so that no getter of the design runs later. Everything else is given as it is; `refuse` is asked
 * to throw for a Proxy, which would run the design's code at every look.
 */
export function snapshotExport(value: unknown, refuse: () => LoadError): unknown {
  const checked = (one: unknown): unknown => {
    if (types.isProxy(one)) throw refuse();
    return one;
  };
  checked(value);
  if (Array.isArray(value)) {
    const list: unknown[] = [];
    for (let i = 0; i < value.length; i++) list.push(checked((value as unknown[])[i]));
    return list;
  }
  if (!isPlain(value)) return value;
  const record: Record<string, unknown> = {};
  for (const key of Object.keys(value))
    Object.defineProperty(record, key, {
      value: checked(value[key]),
      enumerable: true,
      writable: true,
      configurable: true,
    });
  return record;
}

/** An object made by `{…}`, of this realm or of the design's. */
function isPlain(value: unknown): value is Record<string, unknown> {
  if (typeof value !== "object" || value === null) return false;
  const prototype: unknown = Object.getPrototypeOf(value);
  return prototype === null || Object.getPrototypeOf(prototype) === null;
}
