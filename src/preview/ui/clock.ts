/** How long one move takes, and how long the picture rests after it. */
const moveMs = 1100;
const restMs = 450;
/** A frame that came late does not make the picture leap. */
const longestFrameMs = 250;
/** Without motion each step stands this long. */
const stillMs = 1600;

export interface Ticker {
  /** Calls `tick` with the next frame, or after `milliseconds`; gives a way to call it off. */
  frame(tick: (now: number) => void): () => void;
  later(tick: () => void, milliseconds: number): () => void;
}

export const pageTicker: Ticker = {
  frame(tick) {
    const frame = requestAnimationFrame(tick);
    return () => cancelAnimationFrame(frame);
  },
  later(tick, milliseconds) {
    const timer = setTimeout(tick, milliseconds);
    return () => clearTimeout(timer);
  },
};

/**
 * Where the opening of the mold stands, in moves: 0 closed … `count`. Goes from move to move, slow at
 * both ends of each; where motion is not wanted it jumps from one whole move to the next.
 */
export class Clock {
  readonly #show: (position: number) => void;
  readonly #still: () => boolean;
  readonly #ticker: Ticker;
  #count = 0;
  #position = 0;
  #target: number | null = null;
  #playing = false;
  #last: number | null = null;
  #rest = 0;
  #cancel: (() => void) | undefined;

  /** `show` is told each new position, and when playing begins or ends. */
  constructor(show: (position: number) => void, still: () => boolean, ticker: Ticker = pageTicker) {
    this.#show = show;
    this.#still = still;
    this.#ticker = ticker;
  }

  get count(): number {
    return this.#count;
  }

  /** Another mold has another number of moves; what is under way ends. */
  set count(count: number) {
    if (count === this.#count) return;
    this.#count = count;
    this.#position = Math.min(this.#position, count);
    this.#stop();
  }

  get position(): number {
    return eased(this.#position);
  }

  get playing(): boolean {
    return this.#playing;
  }

  /** Stands there at once. */
  put(position: number): void {
    this.#stop();
    this.#position = uneased(Math.max(0, Math.min(this.#count, position)));
    this.#show(this.position);
  }

  /** From here to the end, or from the beginning where it stands at the end. */
  play(): void {
    if (this.#count === 0) return;
    this.#stop();
    if (this.#position >= this.#count) this.#position = 0;
    this.#playing = true;
    this.#target = this.#count;
    this.#begin();
    this.#show(this.position);
  }

  hold(): void {
    this.#stop();
    this.#show(this.position);
  }

  /** To the next whole move, forwards (1) or back (-1). */
  step(way: 1 | -1): void {
    const from = this.#target !== null && !this.#playing ? this.#target : this.#position;
    const target = way > 0 ? Math.floor(from + 1) : Math.ceil(from - 1);
    this.#stop();
    this.#target = Math.max(0, Math.min(this.#count, target));
    if (this.#still()) this.put(this.#target);
    else this.#begin();
  }

  #begin(): void {
    this.#last = null;
    this.#rest = 0;
    if (this.#still()) this.#cancel = this.#ticker.later(() => this.#jump(), 0);
    else this.#cancel = this.#ticker.frame((now) => this.#tick(now));
  }

  #jump(): void {
    this.#position = Math.min(this.#count, Math.floor(this.#position + 1));
    if (this.#position >= this.#count) this.#stop();
    else this.#cancel = this.#ticker.later(() => this.#jump(), stillMs);
    this.#show(this.position);
  }

  #tick(now: number): void {
    const passed = this.#last === null ? 0 : Math.min(longestFrameMs, now - this.#last);
    this.#last = now;
    if (this.#target === null) return;
    if (this.#rest > 0) this.#rest -= passed;
    else this.#advance(passed, this.#target);
    if (this.#position === this.#target) this.#stop();
    else this.#cancel = this.#ticker.frame((next) => this.#tick(next));
    this.#show(this.position);
  }

  #advance(passed: number, target: number): void {
    const way = Math.sign(target - this.#position);
    // A move at a time: the position stands on each whole number.
    const stop = way > 0 ? Math.floor(this.#position + 1) : Math.ceil(this.#position - 1);
    const next = this.#position + (way * passed) / moveMs;
    const past = way > 0 ? next >= stop : next <= stop;
    this.#position = past ? stop : next;
    if (past && this.#playing) this.#rest = restMs;
  }

  #stop(): void {
    this.#cancel?.();
    this.#cancel = undefined;
    this.#playing = false;
    this.#target = null;
  }
}

/** Slow at both ends of each move: a share s of its time is 3s² − 2s³ of its way. */
function eased(position: number): number {
  const whole = Math.floor(position);
  const share = position - whole;
  return whole + share * share * (3 - 2 * share);
}

/** The time at which `eased` stands there: the middle root of its cubic, in trigonometric form. */
function uneased(position: number): number {
  const whole = Math.floor(position);
  if (position === whole) return whole;
  return whole + 0.5 - Math.sin(Math.asin(1 - 2 * (position - whole)) / 3);
}
