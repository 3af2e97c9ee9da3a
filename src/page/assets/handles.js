// What lies over a picture and is moved there: dragged, or by the arrow keys.
import { h } from "./dom.js";

const STEPS = 1000;
const FAR = 10;

export const clamp = (value, least, most) => Math.min(Math.max(value, least), most);

/**
 * Lets `element` on `stage`, over a picture of `size` true pixels, be moved. `at()` gives its place, `put([x, y])` moves
 * it, `letGo()` is called when it stays; `jump(key)` may give a place for a key of its own.
 */
export function movable(element, { stage, size, at, put, letGo, jump = () => null }) {
  // From where it was taken to its place.
  let held = null;
  const pointed = (event) => {
    const { left, top, width, height } = stage.getBoundingClientRect();
    return [((event.clientX - left) / width) * size.width, ((event.clientY - top) / height) * size.height];
  };
  const on = (name, does) => element.addEventListener(name, does);
  on("pointerdown", (event) => {
    const [x, y] = pointed(event);
    held = [at()[0] - x, at()[1] - y];
    element.setPointerCapture(event.pointerId);
    event.preventDefault();
    element.focus();
  });
  on("pointermove", (event) => {
    const [x, y] = pointed(event);
    if (held) put([x + held[0], y + held[1]]);
  });
  on("pointerup", () => {
    if (held) letGo();
    held = null;
  });
  on("pointercancel", () => { held = null; });
  on("keydown", (event) => {
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

// Lays an element over the picture: x, y, and width and height where it is a box.
export function lay({ style }, size, [x, y, width, height]) {
  const share = (value, whole) => `${clamp(value / whole, 0, 1) * 100}%`;
  style.left = share(x, size.width);
  style.top = share(y, size.height);
  if (width === undefined) return;
  style.width = share(width, size.width);
  style.height = share(height, size.height);
}

export const grip = (className, data, ...words) => h("button", { className: `grip ${className}`, data }, ...words);

export const spoken = ([x, y]) => `${Math.round(x)}, ${Math.round(y)}`;
