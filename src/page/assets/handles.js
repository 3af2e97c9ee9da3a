// What lies over a picture and can be moved there: dragged by mouse or finger, or moved by the arrow keys.
import { h } from "./dom.js";

const STEPS = 1000;
const FAR = 10;

/**
 * Lets `element` on `stage`, over a picture of `size` true pixels, be moved. `at()` gives its place, `put([x, y])` moves
 * it, `letGo()` is called when it stays; `jump(key)` may give a place for a key of its own.
 */
export function movable(element, { stage, size, at, put, letGo, jump = () => null }) {
  // From where it was taken to its place.
  let held = null;
  const pointed = (event) => {
    const box = stage.getBoundingClientRect();
    return [((event.clientX - box.left) / box.width) * size.width, ((event.clientY - box.top) / box.height) * size.height];
  };
  element.addEventListener("pointerdown", (event) => {
    const [x, y] = pointed(event);
    held = [at()[0] - x, at()[1] - y];
    element.setPointerCapture(event.pointerId);
    event.preventDefault();
    element.focus();
  });
  element.addEventListener("pointermove", (event) => {
    if (!held) return;
    const [x, y] = pointed(event);
    put([x + held[0], y + held[1]]);
  });
  element.addEventListener("pointerup", () => {
    if (held) letGo();
    held = null;
  });
  element.addEventListener("pointercancel", () => { held = null; });
  element.addEventListener("keydown", (event) => {
    const step = Math.max(1, Math.round(Math.max(size.width, size.height) / STEPS)) * (event.shiftKey ? FAR : 1);
    const by = { ArrowUp: [0, -step], ArrowDown: [0, step], ArrowLeft: [-step, 0], ArrowRight: [step, 0], PageUp: [0, -FAR * step], PageDown: [0, FAR * step] }[event.key];
    const [x, y] = at();
    const place = jump(event.key, step) ?? (by && [x + by[0], y + by[1]]);
    if (!place) return;
    event.preventDefault();
    put(place);
    letGo();
  });
}

/** Lays an element over the picture: x, y, and width and height where it is a box. */
export function lay(element, size, [x, y, width, height]) {
  const share = (value, whole) => `${Math.min(Math.max(value / whole, 0), 1) * 100}%`;
  element.style.left = share(x, size.width);
  element.style.top = share(y, size.height);
  if (width !== undefined) {
    element.style.width = share(width, size.width);
    element.style.height = share(height, size.height);
  }
}

/** A round handle that is moved both ways. */
export const grip = (properties) => h("button", { type: "button", ...properties, className: `grip ${properties.className ?? ""}` });

/** A place as it is read out. */
export const spoken = ([x, y]) => `${Math.round(x)}, ${Math.round(y)}`;
