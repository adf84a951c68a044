import type { BuildRequest, ExportRequest, ExportResult, MoldView } from "../../../shared/engine.ts";
import type { Finding, LocatedFinding } from "../../../shared/finding.ts";
import type { CallId } from "../../../shared/place.ts";
import { checkMold } from "../checks/index.ts";
import { oneEach } from "../checks/one-each.ts";
import type { EvaluatedDesign } from "../evaluate/index.ts";
import { buildMold, type BuiltMold } from "../mold/build.ts";
import { Unbuildable } from "../mold/unbuildable.ts";
import { proveMold } from "../mold/prove.ts";
import { exportMolds } from "../output/export.ts";
import { loadKernel } from "../solid/kernel.ts";
import { bodyView, faceCalls, moldView } from "../view/mold-view.ts";
import type { KeptMolds, Shown } from "./kept-molds.ts";
import { exportedMolds, notExportable, nothingBuildable } from "./molds.ts";

/** The engine process around a computation. */
export interface Work {
  progress(done: number, total: number, what: string): void;
  /** Lets a word from the host in. Rejects when the result is no longer wanted: pass it on. */
  breathe(): Promise<void>;
  /** What was computed before. */
  readonly kept: KeptMolds;
}

export interface ComputedBuild {
  molds: MoldView[];
  findings: Finding[];
  /** The calls that made faces of what is to be seen. */
  faces: ReadonlySet<CallId>;
}

export interface ComputedExport {
  findings: Finding[];
  /** Writes the files. Called at most once, after the findings were looked at. */
  write: (findings: LocatedFinding[]) => Promise<ExportResult>;
}

export type ComputeBuild = (
  design: EvaluatedDesign,
  request: BuildRequest,
  work: Work,
) => Promise<ComputedBuild>;

export type ComputeExport = (
  design: EvaluatedDesign,
  request: ExportRequest,
  work: Work,
) => Promise<ComputedExport>;

/**
 * The molds of a design as the preview draws them, with their findings. Throws a `KitError` where
 * what the maker asked for turns out impossible only now.
 */
export const computeBuild: ComputeBuild = async (design, request, work) => {
  await loadKernel();
  const exported = exportedMolds(design.value, design.design);
  const have = new Set(request.have);
  if (exported.kind === "body") {
    const { body } = exported;
    const shown = buildable(() => bodyView(body, design.design, request.quality, have));
    return "finding" in shown
      ? { molds: [], findings: [shown.finding], faces: new Set() }
      : { molds: [shown.made], findings: [], faces: new Set([body.call]) };
  }
  const molds: MoldView[] = [];
  const findings: Finding[] = [];
  const faces = new Set<CallId>();
  for (const { name, mold } of exported.molds) {
    await work.breathe();
    const compute = (): Shown => {
      const built = buildMold(mold, name, request.quality);
      return {
        view: moldView(built, request.quality, NONE),
        findings: checkMold(built),
        faces: faceCalls(built),
      };
    };
    const tried = buildable(() => work.kept.of(mold, name, request.quality, compute), name);
    if ("finding" in tried) {
      findings.push(tried.finding);
      continue;
    }
    const shown = tried.made;
    findings.push(...shown.findings);
    molds.push(without(shown.view, have));
    for (const call of shown.faces) faces.add(call);
  }
  return { molds, findings: oneEach(findings), faces };
};

const NONE: ReadonlySet<string> = new Set();

/** A view without the geometry that the asker holds. */
function without(view: MoldView, have: ReadonlySet<string>): MoldView {
  const surfaces = view.surfaces.map((surface) => {
    const sent = { ...surface };
    if (have.has(surface.digest)) delete sent.geometry;
    return sent;
  });
  return { ...view, surfaces };
}

/** The molds of a design, proved, and the writing of their files. */
export const computeExport: ComputeExport = async (design, request, work) => {
  await loadKernel();
  const exported = exportedMolds(design.value, design.design);
  if (exported.kind === "body") throw notExportable();
  const built: BuiltMold[] = [];
  const unbuilt: Finding[] = [];
  for (const [i, { name, mold }] of exported.molds.entries()) {
    work.progress(i, exported.molds.length + 1, `${name}: shaping the parts`);
    await work.breathe();
    const tried = buildable(() => buildMold(mold, name, "export"), name);
    if ("finding" in tried) unbuilt.push(tried.finding);
    else built.push(tried.made);
  }
  return {
    findings: oneEach([...unbuilt, ...built.flatMap(checkMold)]),
    async write(findings) {
      if (built.length === 0) throw nothingBuildable();
      for (const mold of built) {
        work.progress(built.length, built.length + 1, `${mold.model.name}: proving that it fits and opens`);
        await work.breathe();
        proveMold(mold);
      }
      return exportMolds({
        design: design.design,
        source: design.entry,
        molds: built.map(({ model }) => model),
        findings,
        out: request.out,
        formats: request.formats,
        onProgress: (done, total, what) => work.progress(done, total, what),
      });
    },
  };
};

/** What `make` gives, or the finding that says why there is nothing to make. */
function buildable<T>(make: () => T, mold?: string): { made: T } | { finding: Finding } {
  try {
    return { made: make() };
  } catch (error) {
    if (!(error instanceof Unbuildable)) throw error;
    return { finding: mold === undefined ? error.finding : { ...error.finding, mold } };
  }
}
