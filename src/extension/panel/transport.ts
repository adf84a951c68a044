import type { PreviewMold, Stretch, ToPreview } from "../../../shared/preview.ts";
import type { DesignState } from "../design/state.ts";
import { packMolds } from "./shipment.ts";

/** A state as it was sent. */
export interface Sent {
  state: DesignState;
  /** Bytes of geometry in all its messages. */
  bytes: number;
  /** When its first message was posted; milliseconds of this process's clock. */
  posted: number;
}

type ShowMessage = (state: DesignState, molds: PreviewMold[] | undefined) => ToPreview;

/**
 * The way of states to one page: one message at a time, each waits for the answer to the one
 * before, and a newer state takes the place of what still waits. Knows what geometry the page holds.
 */
export class Transport {
  readonly #post: (message: ToPreview) => void;
  readonly #show: ShowMessage;
  #held: ReadonlySet<string> = new Set();
  /** The state under way, what of it has not been posted, and the answer that is awaited. */
  #under:
    | { sent: Sent; stock: Stretch[][]; molds: PreviewMold[] | undefined; awaits: number | "paint" }
    | undefined;
  #number = 0;
  #done = -1;
  /** Something went wrong in the page: the answer may come, or never. */
  #doubted = false;

  /** `show` words a state whose molds are packed. */
  constructor(post: (message: ToPreview) => void, show: ShowMessage) {
    this.#post = post;
    this.#show = show;
  }

  /** The page knows nothing any more. */
  reset(): void {
    this.#held = new Set();
    this.#under = undefined;
    this.#done = -1;
    this.#doubted = false;
  }

  /** Nothing is on its way. */
  get free(): boolean {
    return this.#under === undefined;
  }

  /** Sends the newest state, unless the page has it or is still busy with a message. */
  offer(state: DesignState): void {
    if (state.build === 0 || state.build === this.#done) return;
    if (!this.free && !(this.#doubted && state.build !== this.#under?.sent.state.build)) return;
    this.#doubted = false;
    const packed = state.molds && packMolds(state.molds, this.#held);
    this.#under = {
      sent: { state, bytes: packed?.bytes ?? 0, posted: performance.now() },
      stock: packed?.stock ?? [],
      molds: packed?.molds,
      awaits: "paint",
    };
    this.#next();
  }

  /** The page has taken a stock. With a newer state in sight the rest is not sent. */
  stocked(number: number, newest: DesignState): void {
    if (this.#under?.awaits !== number) return;
    if (newest.build === this.#under.sent.state.build) return this.#next();
    this.#under = undefined;
    this.offer(newest);
  }

  /** A build is on the screen: gives what was sent of it, or undefined when it is not the one under way. */
  painted(build: number): Sent | undefined {
    const under = this.#under;
    if (under?.awaits !== "paint" || under.sent.state.build !== build) return undefined;
    this.#under = undefined;
    this.#done = build;
    return under.sent;
  }

  /** The page went out of sight between two messages: what is half sent starts afresh later. */
  breakOff(): void {
    if (this.#under?.awaits !== "paint") this.#under = undefined;
  }

  /** Something went wrong in the page: a newer state does not wait for an answer, and brings everything anew. */
  doubt(): void {
    this.#doubted = true;
    this.#held = new Set();
  }

  #next(): void {
    const under = this.#under;
    if (!under) return;
    const stretches = under.stock.shift();
    if (stretches) {
      under.awaits = ++this.#number;
      this.#post({ type: "stock", number: this.#number, stretches });
      return;
    }
    under.awaits = "paint";
    this.#post(this.#show(under.sent.state, under.molds));
    if (under.molds) {
      this.#held = new Set(under.molds.flatMap((mold) => mold.surfaces.map(({ digest }) => digest)));
    }
  }
}
