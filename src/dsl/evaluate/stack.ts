/** A place in a running design: a file and an offset in the body that was compiled for it. */
export interface RunFrame {
  file: string;
  position: number;
}

/** Frames that are kept of a stack. */
const DEPTH = 200;

type Site = NodeJS.CallSite & { getPosition(): number };

/** Taken once, before any design runs. */
const capture: (holder: object) => void = Reflect.get<typeof Error, "captureStackTrace">(
  Error,
  "captureStackTrace",
);

type Prepare = (error: Error, sites: NodeJS.CallSite[]) => unknown;

const keepSites: Prepare = (_error, sites) => sites;

/** Runs `work` while stacks of our own realm are as deep as we need and `prepare` shapes them. */
function withPrepare<T>(prepare: Prepare, work: () => T): T {
  const before = Reflect.get(Error, "prepareStackTrace") as Prepare;
  const limit = Error.stackTraceLimit;
  Error.prepareStackTrace = prepare;
  Error.stackTraceLimit = DEPTH;
  try {
    return work();
  } finally {
    Error.prepareStackTrace = before;
    Error.stackTraceLimit = limit;
  }
}

/** The stack here, innermost first, as V8 holds it. */
export function captureSites(): readonly NodeJS.CallSite[] {
  const holder: { stack?: unknown } = {};
  return withPrepare(keepSites, () => {
    capture(holder);
    return holder.stack as readonly NodeJS.CallSite[];
  });
}

export function runFrame(site: NodeJS.CallSite): RunFrame | undefined {
  const file = site.getFileName();
  return typeof file === "string" ? { file, position: (site as Site).getPosition() } : undefined;
}

/** `name (file:line:column)`, as V8 writes it. */
const siteText: (site: NodeJS.CallSite) => string = String;

const framesOf = new WeakMap<object, RunFrame[]>();

function keepFrames(error: Error, sites: NodeJS.CallSite[]): string {
  const frames: RunFrame[] = [];
  for (const site of sites) {
    const frame = runFrame(site);
    if (frame) frames.push(frame);
  }
  framesOf.set(error, frames);
  return [safely(() => String(error)) ?? "Error", ...sites.map((site) => `    at ${siteText(site)}`)].join(
    "\n",
  );
}

/** Errors of this kind keep their frames, whatever a design assigns to `Error.prepareStackTrace`. */
export function keepErrorFrames(error: ErrorConstructor): void {
  error.stackTraceLimit = DEPTH;
  Object.defineProperty(error, "prepareStackTrace", { get: () => keepFrames, set: () => undefined });
}

/** Runs `work` so that errors of our own realm keep their frames too. */
export function withErrorFrames<T>(work: () => T): T {
  return withPrepare(keepFrames, work);
}

/** The stack of an error, innermost first; empty where it has none. To be asked inside `withErrorFrames`. */
export function errorFrames(error: object): RunFrame[] {
  safely(() => (error as { stack?: unknown }).stack);
  return framesOf.get(error) ?? [];
}

/** A look at a value of the design, which may answer by throwing. */
export function safely<T>(look: () => T): T | undefined {
  try {
    return look();
  } catch {
    return undefined;
  }
}
