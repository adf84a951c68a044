import {
  previewState,
  toPreview,
  type FromPreview,
  type PreviewState,
  type ToPreview,
} from "../../shared/preview.ts";

interface WebviewApi {
  postMessage(message: unknown): void;
  getState(): unknown;
  setState(state: unknown): void;
}
declare function acquireVsCodeApi(): WebviewApi;

/** The way to the extension. One a page. */
export class Host {
  readonly #api = acquireVsCodeApi();

  post(message: FromPreview): void {
    this.#api.postMessage(message);
  }

  /** Calls `hear` with each message that has the agreed shape; tells the extension of any other. */
  listen(hear: (message: ToPreview) => void): void {
    window.addEventListener("message", (event: MessageEvent<unknown>) => {
      const message = toPreview.safeParse(event.data);
      if (!message.success) return this.fault(`a message of unknown shape: ${message.error.message}`);
      try {
        hear(message.data);
      } catch (error) {
        this.fault(error);
      }
    });
    window.addEventListener("error", (event) => {
      // A size that could not be told in one frame is told in the next: nothing is wrong.
      if (!event.message.startsWith("ResizeObserver loop")) this.fault(event.error ?? event.message);
    });
    window.addEventListener("unhandledrejection", (event) => this.fault(event.reason));
    document.addEventListener("securitypolicyviolation", (event) =>
      this.fault(`content policy: ${event.violatedDirective} ${event.blockedURI}`),
    );
  }

  fault(what: unknown): void {
    this.post({
      type: "fault",
      message: what instanceof Error ? (what.stack ?? what.message) : String(what),
    });
  }

  get state(): PreviewState | undefined {
    const state = previewState.safeParse(this.#api.getState());
    return state.success ? state.data : undefined;
  }

  keep(state: PreviewState): void {
    this.#api.setState(state);
  }
}
