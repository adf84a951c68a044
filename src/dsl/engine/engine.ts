import { tmpdir } from "node:os";
import { join } from "node:path";
import type {
  BuildRequest,
  BuildResult,
  CureRequest,
  CureResult,
  EngineReply,
  ExportRequest,
  ExportResult,
} from "../../../shared/engine.ts";
import type { Finding, LocatedFix, Problem } from "../../../shared/finding.ts";
import {
  designName,
  evaluate,
  type EvaluatedDesign,
  type EvaluateRequest,
  type Evaluation,
  rejectedProblem,
  type Packages,
  type ParsedTexts,
} from "../evaluate/index.ts";
import { KitError } from "../kit/error.ts";
import { cure } from "./cure.ts";
import { fixesOf, hasFixes, locateFinding, writableFixes, type Sentence } from "./findings.ts";
import { KeptMolds } from "./kept-molds.ts";
import type { ComputeBuild, ComputeExport, Work } from "./pipeline.ts";
import { tryFixes, type Found } from "./try-fixes.ts";

/** The build was cancelled by the host. */
export class Cancelled extends Error {
  override readonly name = "Cancelled";
}

/** What the engine leans on: the kit's packages and our own work behind them. */
export interface Parts {
  packages: Packages;
  /** Waits for what the kit measures bodies with, which it does while a design runs. */
  ready(): Promise<void>;
  computeBuild: ComputeBuild;
  computeExport: ComputeExport;
  sentence: Sentence;
  /** A design to warm up with. */
  plainDesign: string;
}

/** Answers builds and exports, one after another; the process around it is `child.ts`. */
export class Engine {
  readonly #parts: Parts;
  readonly #reply: (reply: EngineReply) => void;
  readonly #parsed: ParsedTexts = new Map();
  readonly #kept = new KeptMolds();
  readonly #cancelled = new Set<number>();
  /** Reasons of promises that the design now running left rejected; null while none runs. */
  #rejections: unknown[] | null = null;

  constructor(parts: Parts, reply: (reply: EngineReply) => void) {
    this.#parts = parts;
    this.#reply = reply;
  }

  /** Reads and runs a design of one line, so that the maker's first does not wait for the parser. */
  warmUp(): void {
    this.#evaluateText("const warm: number = 1;\nexport default warm;\n");
  }

  /** Computes a plain mold and throws it away: code that has run once is several times as fast. */
  async warmUpWork(): Promise<void> {
    const { design } = this.#evaluateText(this.#parts.plainDesign);
    if (!design) throw new Error("the plain design does not run");
    const request = { type: "build", id: 0, entry: design.entry, root: tmpdir() } as const;
    const rest = { overlays: {}, overrides: {}, quality: "typing", have: [], fixes: false } as const;
    const work = { progress: () => undefined, breathe: nextTurn, kept: new KeptMolds() };
    await this.#parts.computeBuild(design, { ...request, ...rest, have: [] }, work);
  }

  #evaluateText(text: string) {
    const entry = join(tmpdir(), "warm-up.mold.ts");
    return evaluate({ entry, root: tmpdir(), overlays: { [entry]: text }, packages: this.#parts.packages });
  }

  /** Takes effect at the next pause of our own work. */
  cancel(id: number): void {
    this.#cancelled.add(id);
  }

  async build(request: BuildRequest): Promise<BuildResult> {
    const { id, entry, overlays, have } = request;
    const { sentence } = this.#parts;
    const start = performance.now();
    const evaluation = await this.#evaluated(
      request,
      overlays,
      request.overrides,
      this.#parsed,
      this.#ears(id),
    );
    this.#reply({ type: "evaluated", id });
    const evaluated = performance.now();
    const timings: Record<string, number> = { evaluate: evaluated - start };
    const base = { design: designName(entry), files: evaluation.files };
    if (evaluation.problem)
      return {
        ...base,
        problem: evaluation.problem,
        molds: [],
        findings: [],
        params: [],
        calls: [],
        timings,
      };

    const { design } = evaluation;
    const work = this.#work(id);
    const computed = await orMisuse(design, this.#parts.computeBuild(design, request, work));
    if ("problem" in computed)
      return {
        ...base,
        problem: computed.problem,
        molds: [],
        findings: [],
        params: [...design.params],
        calls: [],
        timings,
      };
    const { molds, findings } = computed;
    timings.compute = performance.now() - evaluated;

    const again = async (texts: Record<string, string>): Promise<Found | undefined> => {
      await work.breathe();
      // A copy: the texts of a trial do not push out those of the maker.
      const parsed = new Map(this.#parsed);
      const changed = await this.#evaluated(request, { ...overlays, ...texts }, request.overrides, parsed);
      if (!changed.design) return undefined;
      const computed = await orMisuse(
        changed.design,
        this.#parts.computeBuild(changed.design, { ...request, have }, quiet(work)),
      );
      return "problem" in computed ? undefined : { design: changed.design, findings: computed.findings };
    };
    const calls = design.callViews(computed.faces);
    const resultWith = (tried?: Map<Finding, LocatedFix[]>): BuildResult => ({
      ...base,
      molds,
      findings: findings.map((one) => locateFinding(design, one, tried?.get(one) ?? [], sentence)),
      params: [...design.params],
      calls,
      timings,
    });
    if (!request.fixes) return resultWith();
    const early = request.early === true && findings.some(hasFixes);
    if (early) this.#reply({ type: "found", id, result: resultWith() });
    const tried = await tryFixes({ design, findings }, again, sentence);
    timings.fixes = performance.now() - evaluated - timings.compute;
    return { ...resultWith(tried), ...(early && { molds: [] }) };
  }

  async export(request: ExportRequest): Promise<ExportResult> {
    const { id, allowErrors } = request;
    const { sentence } = this.#parts;
    const evaluation = await this.#evaluated(request, {}, {}, this.#parsed, this.#ears(id));
    this.#reply({ type: "evaluated", id });
    const nothing = { files: [], parts: [] };
    if (evaluation.problem) return { problem: evaluation.problem, findings: [], ...nothing };
    const { design } = evaluation;
    const computed = await orMisuse(design, this.#parts.computeExport(design, request, this.#work(id)));
    if ("problem" in computed) return { problem: computed.problem, findings: [], ...nothing };
    const { findings, write } = computed;
    const located = findings.map((finding) =>
      locateFinding(design, finding, untriedTitles(design, finding, sentence), sentence),
    );
    if (!allowErrors && findings.some((one) => one.severity === "error"))
      return { findings: located, ...nothing };
    return { findings: located, ...nothing, ...(await orMisuse(design, write(located))) };
  }

  /** The texts with every fix made that helps. */
  async cure({ id, entry, root, overlays }: CureRequest): Promise<CureResult> {
    const rest = { type: "build", id, entry, root, quality: "idle", fixes: true } as const;
    return cure(overlays, (texts) => this.build({ ...rest, overlays: texts, overrides: {}, have: [] }));
  }

  /** Takes the reason of a promise that nobody looks after; false where no design is running. */
  rejected(reason: unknown): boolean {
    this.#rejections?.push(reason);
    return this.#rejections !== null;
  }

  /**
   * Evaluates, and lets the promises of the design run their course: one that never ends is still
   * the maker's time and not ours, and one that is rejected is a fault of the design. A design has
   * no timers, so that one turn of the event loop ends them all.
   */
  async #evaluated(
    request: BuildRequest | ExportRequest,
    overlays: Record<string, string>,
    overrides: Record<string, number>,
    parsed: ParsedTexts,
    ears?: Pick<EvaluateRequest, "log" | "onRun">,
  ): Promise<Evaluation> {
    await this.#parts.ready();
    this.#rejections = [];
    try {
      const evaluation = this.#evaluate(request, overlays, overrides, parsed, ears);
      await nextTurn();
      const { design, files } = evaluation;
      if (!design || this.#rejections.length === 0) return evaluation;
      return { problem: rejectedProblem(this.#rejections[0], design.calls), files };
    } finally {
      this.#rejections = null;
    }
  }

  #evaluate(
    request: BuildRequest | ExportRequest,
    overlays: Record<string, string>,
    overrides: Record<string, number>,
    parsed: ParsedTexts,
    ears?: Pick<EvaluateRequest, "log" | "onRun">,
  ) {
    const { packages } = this.#parts;
    // Of each file the last text is kept; files that no design uses any more go with the rest.
    if (parsed.size > 200) parsed.clear();
    return evaluate({
      entry: request.entry,
      root: request.root,
      overlays,
      overrides,
      packages,
      parsed,
      ...ears,
    });
  }

  #ears(id: number): Pick<EvaluateRequest, "log" | "onRun"> {
    return {
      onRun: (files) => this.#reply({ type: "evaluating", id, files: [...files] }),
      log: (line) => this.#reply({ type: "log", id, lines: [line] }),
    };
  }

  #work(id: number): Work {
    return {
      progress: (done, total, what) => this.#reply({ type: "progress", id, done, total, what }),
      kept: this.#kept,
      breathe: async () => {
        await nextTurn();
        if (this.#cancelled.delete(id)) throw new Cancelled();
      },
    };
  }
}

/** Some misuse of the kit shows only when the mold is computed; it is the maker's, not our fault. */
async function orMisuse<T>(design: EvaluatedDesign, work: Promise<T>): Promise<T | { problem: Problem }> {
  try {
    return await work;
  } catch (error) {
    if (!(error instanceof KitError)) throw error;
    const { code, args, message, target } = error;
    return { problem: { code, args, message, ...design.locate(target) } };
  }
}

function nextTurn(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}

function quiet(work: Work): Work {
  return { breathe: () => work.breathe(), progress: () => undefined, kept: work.kept };
}

/** An export does not try fixes; its manifest names them. */
function untriedTitles(design: EvaluatedDesign, finding: Finding, sentence: Sentence): LocatedFix[] {
  return writableFixes(design, fixesOf(finding), sentence).map((fix) => ({ ...fix, edits: [] }));
}
