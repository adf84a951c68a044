/** A point on the canvas, −1 … 1 to the right and upwards. */
export interface Aim {
  x: number;
  y: number;
}

/** A press that moves further than this turns the picture and picks nothing, px. */
const still = 4;

/**
 * Tells clicks and rests of the pointer from drags. `rest` comes at most once a frame, with null
 * when the pointer leaves or begins to drag.
 */
export function watchPointer(
  canvas: HTMLCanvasElement,
  events: { click(aim: Aim): void; rest(aim: Aim | null): void },
): void {
  let pressed: { x: number; y: number } | null = null;
  let waiting: PointerEvent | null = null;
  const aimOf = ({ clientX, clientY }: PointerEvent): Aim => {
    const { left, top, width, height } = canvas.getBoundingClientRect();
    return { x: ((clientX - left) / width) * 2 - 1, y: 1 - ((clientY - top) / height) * 2 };
  };
  const leave = () => {
    waiting = null;
    events.rest(null);
  };
  canvas.addEventListener("pointerdown", (event) => {
    pressed = event.isPrimary && event.button === 0 ? { x: event.clientX, y: event.clientY } : null;
    leave();
  });
  canvas.addEventListener("pointerup", (event) => {
    const from = pressed;
    pressed = null;
    if (!from || !event.isPrimary) return;
    if (Math.hypot(event.clientX - from.x, event.clientY - from.y) <= still) events.click(aimOf(event));
  });
  canvas.addEventListener("pointercancel", () => (pressed = null));
  canvas.addEventListener("pointermove", (event) => {
    if (event.buttons !== 0 || event.pointerType === "touch") return;
    if (!waiting) {
      requestAnimationFrame(() => {
        const last = waiting;
        waiting = null;
        if (last) events.rest(aimOf(last));
      });
    }
    waiting = event;
  });
  canvas.addEventListener("pointerleave", leave);
}
