import type { CallView } from "../../../shared/engine.ts";
import type { CallId } from "../../../shared/place.ts";
import type { ParamRecord } from "../kit/record.ts";
import { destinationOf, type Call, type SourceModule } from "../source/index.ts";
import type { CallTable } from "./design.ts";
import type { LoadedModule } from "./graph.ts";

interface Heard {
  calls: CallTable;
  madeOf: ReadonlyMap<CallId, ReadonlySet<CallId>>;
  params: readonly ParamRecord[];
  modules: readonly LoadedModule[];
}

/**
 * The calls that made `faces`, and those whose values went into them, by rising id. A call is
 * shown by its own faces where it has any, else by those of the nearest calls that its value went
 * into. A `param` is a plain number: it is followed through the text, by constants, arguments and
 * imports, and has no view where that leads nowhere.
 */
export function callViews(heard: Heard, faces: ReadonlySet<CallId>): CallView[] {
  const { calls } = heard;
  const wentInto = invert(heard.madeOf);
  const madeAt = heard.params.length > 0 ? callsBySite(calls) : new Map<Call, CallId[]>();
  for (const { call } of heard.params) for (const to of usersOf(heard, madeAt, call)) add(wentInto, call, to);
  const views: CallView[] = [];
  for (let call = 0; call < calls.size; call++) {
    const lights = shownBy(call, faces, wentInto);
    const name = calls.nameOf(call);
    if (lights.length > 0 && name !== undefined)
      views.push({ call, name, chain: calls.placesOf(call), lights });
  }
  return views;
}

function shownBy(
  call: CallId,
  faces: ReadonlySet<CallId>,
  wentInto: ReadonlyMap<CallId, ReadonlySet<CallId>>,
): CallId[] {
  const seen = new Set([call]);
  const shown: CallId[] = [];
  // A set that grows while it is walked gives its new members too.
  for (const one of seen) {
    if (faces.has(one)) shown.push(one);
    else for (const next of wentInto.get(one) ?? []) seen.add(next);
  }
  return shown.sort((a, b) => a - b);
}

/** The calls that take the value of a `param`, or what is computed of it. */
function usersOf(heard: Heard, madeAt: ReadonlyMap<Call, CallId[]>, param: CallId): Set<CallId> {
  const found = new Set<CallId>();
  const site = heard.calls.siteOf(param);
  if (!site) return found;
  const toFollow = new Map<Use, SourceModule>([[site.call, site.module]]);
  for (const [node, module] of toFollow) {
    const { calls, binding } = destinationOf(module, node);
    const takers = calls.map((call) => madeAt.get(call) ?? []).find((ids) => ids.length > 0);
    if (takers) for (const id of takers) found.add(id);
    else if (binding) {
      for (const use of binding.uses) toFollow.set(use, module);
      if (binding.exported) followImports(heard.modules, module, binding.name, toFollow);
    }
  }
  found.delete(param);
  return found;
}

type Use = Parameters<typeof destinationOf>[1];

function followImports(
  modules: readonly LoadedModule[],
  from: SourceModule,
  name: string,
  toFollow: Map<Use, SourceModule>,
): void {
  const exported = new Set([...from.ports.exports].filter(([, local]) => local === name).map(([as]) => as));
  for (const { source, imports } of modules) {
    for (const one of imports) {
      if (one.to?.kind !== "module" || one.to.source !== from) continue;
      for (const { imported, local } of one.from.bindings) {
        if (!exported.has(imported)) continue;
        for (const use of source.scopes.top.get(local)?.uses ?? []) toFollow.set(use, source);
      }
    }
  }
}

/** For each call in the text the kit calls made there, or below it in what it called. */
function callsBySite(calls: CallTable): Map<Call, CallId[]> {
  const bySite = new Map<Call, CallId[]>();
  for (let id = 0; id < calls.size; id++) {
    for (const { call } of calls.sitesOf(id)) {
      const there = bySite.get(call);
      if (there) there.push(id);
      else bySite.set(call, [id]);
    }
  }
  return bySite;
}

function invert(madeOf: ReadonlyMap<CallId, ReadonlySet<CallId>>): Map<CallId, Set<CallId>> {
  const inverse = new Map<CallId, Set<CallId>>();
  for (const [call, from] of madeOf) for (const one of from) add(inverse, one, call);
  return inverse;
}

function add(map: Map<CallId, Set<CallId>>, key: CallId, value: CallId): void {
  const known = map.get(key);
  if (known) known.add(value);
  else map.set(key, new Set([value]));
}
