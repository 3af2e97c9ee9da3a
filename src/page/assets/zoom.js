// How large the beads are shown: by keys, buttons, wheel, or two fingers.
import { $, h } from "./dom.js";
import { store, on } from "./store.js";
import { fit, wholeZoom } from "./board.js";

// From a whole cast's figure on a phone to single beads.
const LEAST = 0.4;
const MOST = 4;
const STEP = 1.25;
// The button between the two of a mouse (Pointer Events, `button` and `buttons`).
const MIDDLE = 1;
const MIDDLE_HELD = 4;

const fingers = new Map();
let before = null;

export const areTwo = () => fingers.size > 1;

const between = () => {
  const [one, other] = fingers.values();
  return { x: (one.x + other.x) / 2, y: (one.y + other.y) / 2, apart: Math.hypot(one.x - other.x, one.y - other.y) };
};

export function start() {
  const button = (words, sign, onclick) => h("button", { className: "quiet small", "aria-label": words, title: words, onclick }, sign);
  $("zoom").append(button("Smaller beads", "−", smaller), button("Beads as large as fit", "Fit", whole), button("Larger beads", "+", larger));
  const frame = $("board-frame");
  frame.addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    setZoom(store.zoom * (event.deltaY < 0 ? STEP : 1 / STEP), { x: event.clientX, y: event.clientY });
  }, { passive: false });
  const onFinger = (name, does) => frame.addEventListener(name, (event) => event.pointerType === "touch" && does(event), true);
  onFinger("pointerdown", ({ pointerId, clientX: x, clientY: y }) => {
    fingers.set(pointerId, { x, y });
    before = fingers.size === 2 ? { ...between(), zoom: store.zoom } : null;
  });
  onFinger("pointermove", ({ pointerId, clientX: x, clientY: y }) => {
    if (!fingers.has(pointerId)) return;
    fingers.set(pointerId, { x, y });
    if (!before || fingers.size !== 2) return;
    const now = between();
    setZoom(before.zoom * (now.apart / before.apart), now);
    pan(before.x - now.x, before.y - now.y);
    [before.x, before.y] = [now.x, now.y];
  });
  frame.addEventListener("pointerdown", (event) => event.button === MIDDLE && event.preventDefault());
  frame.addEventListener("pointermove", ({ pointerType, buttons, movementX, movementY }) => pointerType === "mouse" && buttons === MIDDLE_HELD && pan(-movementX, -movementY));
  // The browser's own scrolling would take both fingers away.
  frame.addEventListener("touchmove", (event) => event.touches.length > 1 && event.cancelable && event.preventDefault(), { passive: false });
  for (const name of ["pointerup", "pointercancel"]) {
    addEventListener(name, ({ pointerId }) => {
      fingers.delete(pointerId);
      before = null;
    });
  }
  const strength = $("strength");
  strength.addEventListener("input", () => $("stage").style.setProperty("--strength", strength.value / 100));
  on("under reference", () => { strength.hidden = !store.under; });
}

export const larger = () => setZoom(store.zoom * STEP);
export const smaller = () => setZoom(store.zoom / STEP);
export const whole = () => setZoom(wholeZoom());

// Where the board ends, the page goes on.
function pan(right, down) {
  const frame = $("board-frame");
  const was = frame.scrollTop;
  frame.scrollBy(right, down);
  scrollBy(0, down - (frame.scrollTop - was));
}

// Shows beads so many times as large as fit; what lies at `about` stays.
function setZoom(zoom, about) {
  const frame = $("board-frame");
  const { left, top, width, height } = frame.getBoundingClientRect();
  const was = store.cell;
  store.zoom = Math.min(MOST, Math.max(LEAST, zoom));
  fit();
  const by = store.cell / was - 1;
  const { x, y } = about ?? { x: left + width / 2, y: top + height / 2 };
  if (by) frame.scrollBy((x - left + frame.scrollLeft) * by, (y - top + frame.scrollTop) * by);
}
