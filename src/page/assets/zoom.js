// How large the beads are shown, and how strongly the picture shows under them.
import { $, h } from "./dom.js";
import { store, watch, tellAll } from "./store.js";
import { fit } from "./board.js";

// From a whole cast's figure on a phone to single beads.
const LEAST = 0.4;
const MOST = 4;
const STEP = 1.25;

// The button between the two of a mouse (Pointer Events, 11.1 and its `buttons`).
const MIDDLE = 1;
const MIDDLE_HELD = 4;

export function start() {
  const press = (words, sign, does) => h("button", { className: "quiet small", "aria-label": words, title: words, onclick: does }, sign);
  $("zoom").append(press("Smaller beads", "−", smaller), press("Beads as large as fit", "Fit", whole), press("Larger beads", "+", larger));
  $("board-frame").addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    setZoom(store.zoom * (event.deltaY < 0 ? STEP : 1 / STEP), { x: event.clientX, y: event.clientY });
  }, { passive: false });
  $("board-frame").addEventListener("pointerdown", (event) => event.button === MIDDLE && event.preventDefault());
  $("board-frame").addEventListener("pointermove", (event) => {
    if (event.pointerType === "mouse" && event.buttons === MIDDLE_HELD) pan(-event.movementX, -event.movementY);
  });
  const strength = $("strength");
  strength.addEventListener("input", () => $("stage").style.setProperty("--strength", strength.value / 100));
  watch((_, topics) => {
    if (topics.has("under") || topics.has("reference")) strength.hidden = !store.under;
  });
}

export const larger = () => setZoom(store.zoom * STEP);
export const smaller = () => setZoom(store.zoom / STEP);
export const whole = () => setZoom(1);

/** Moves what is seen of the board by so many pixels; where the board ends, the page goes on. */
export function pan(right, down) {
  const frame = $("board-frame");
  const was = frame.scrollTop;
  frame.scrollBy(right, down);
  scrollBy(0, down - (frame.scrollTop - was));
}

/** Shows beads so many times as large as fit; what lies at `about` stays there. */
export function setZoom(zoom, about) {
  const frame = $("board-frame").getBoundingClientRect();
  const was = store.cell;
  store.zoom = Math.min(MOST, Math.max(LEAST, zoom));
  fit();
  const by = store.cell / was - 1;
  if (!by) return;
  const { x, y } = about ?? { x: frame.left + frame.width / 2, y: frame.top + frame.height / 2 };
  $("board-frame").scrollBy((x - frame.left + $("board-frame").scrollLeft) * by, (y - frame.top + $("board-frame").scrollTop) * by);
}
