// Two fingers on the board move and enlarge it, while one lays beads.
import { $ } from "./dom.js";
import { store } from "./store.js";
import { pan, setZoom } from "./zoom.js";

const fingers = new Map();
let before = null;

const between = () => {
  const [one, other] = [...fingers.values()];
  return { x: (one.x + other.x) / 2, y: (one.y + other.y) / 2, apart: Math.hypot(one.x - other.x, one.y - other.y) };
};

/** Whether two fingers are down, so that none of them lays. */
export const areTwo = () => fingers.size > 1;

export function start() {
  const frame = $("board-frame");
  const on = (name, does) => frame.addEventListener(name, (event) => event.pointerType === "touch" && does(event), true);
  on("pointerdown", ({ pointerId, clientX: x, clientY: y }) => {
    fingers.set(pointerId, { x, y });
    before = fingers.size === 2 ? { ...between(), zoom: store.zoom } : null;
    if (before) before.wide = before.apart;
  });
  on("pointermove", ({ pointerId, clientX: x, clientY: y }) => {
    if (!fingers.has(pointerId)) return;
    fingers.set(pointerId, { x, y });
    if (!before || fingers.size !== 2) return;
    const now = between();
    setZoom(before.zoom * (now.apart / before.wide), now);
    pan(before.x - now.x, before.y - now.y);
    [before.x, before.y] = [now.x, now.y];
  });
  // The browser's own scrolling would take both fingers away.
  frame.addEventListener("touchmove", (event) => event.touches.length > 1 && event.cancelable && event.preventDefault(), { passive: false });
  for (const name of ["pointerup", "pointercancel"]) {
    addEventListener(name, ({ pointerId }) => {
      fingers.delete(pointerId);
      before = null;
    });
  }
}
