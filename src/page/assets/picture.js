// The reference: beside the figure, under the beads, or lost.
import { $, h, text, more, pick } from "./dom.js";
import { store, on, go, tellAll, change, allPegs, isSame } from "./store.js";
import { getBlob, wordsOf } from "./wire.js";
import { preview } from "./board.js";
import { nearest } from "./colour.js";
import { frame, sizeCanvas } from "./draw.js";
import { line } from "./line.js";

const image = h("img", { alt: "The reference, upright and cropped", draggable: false, hidden: true });
const canvas = h("canvas", { "aria-hidden": "true" });
let shown = null;

export function start() {
  const place = $("reference-frame");
  place.append(image, canvas);
  image.addEventListener("load", () => {
    // Nothing stands in its place until it can be drawn.
    image.hidden = false;
    store.picture = image;
    tellAll("reference");
  });
  const point = (peg) => {
    preview(peg ? [peg] : []);
    outline(peg);
  };
  place.addEventListener("pointermove", (event) => point(pegAt(event)));
  place.addEventListener("pointerleave", () => point(null));
  place.addEventListener("click", (event) => {
    const peg = pegAt(event);
    if (peg) go(peg);
    nearest(placeOf(event));
  });
  new ResizeObserver(() => outline(store.over)).observe(place);
  startLost();
  $("under").addEventListener("click", () => layUnder(!store.under));
  on("table", load);
  on("at over reference table cell", () => outline(store.over));
  on("table reference under cell", showUnder);
}

async function load() {
  const { file, reference, reference_note: note, rows } = store.table;
  const wanted = reference && !reference.pending ? file : null;
  $("reference-frame").hidden = !reference;
  text($("reference-hint"), note ?? (reference ? "" : "This figure names no reference picture, or it is not where the figure says."));
  if (store.cell) $("reference-frame").style.setProperty("--tall", `${rows * store.cell}px`);
  if (wanted === shown) return;
  shown = wanted;
  store.picture = null;
  image.hidden = true;
  if (!wanted) return;
  try {
    const blob = await getBlob("/api/reference", file);
    if (image.src) URL.revokeObjectURL(image.src);
    image.src = URL.createObjectURL(blob);
  } catch (trouble) {
    $("reference-frame").hidden = true;
    text($("reference-hint"), wordsOf(trouble));
  }
}

// The window of a peg in pixels of the picture as it came, or null.
export function windowOf({ row, column }) {
  const { reference } = store.table;
  const window = reference?.windows?.[row]?.[column];
  if (!window || !store.picture) return null;
  const scale = store.picture.naturalWidth / reference.width;
  return window.map((value) => value * scale);
}

// How the picture lies in its box, which may be larger than it.
function lies() {
  const { clientWidth: width, clientHeight: height, naturalWidth, naturalHeight } = image;
  const scale = Math.min(width / naturalWidth, height / naturalHeight);
  return { scale, x: (width - naturalWidth * scale) / 2, y: (height - naturalHeight * scale) / 2 };
}

function placeOf(event) {
  const { left, top } = image.getBoundingClientRect();
  const { scale, x, y } = lies();
  return [(event.clientX - left - x) / scale, (event.clientY - top - y) / scale];
}

function pegAt(event) {
  if (!store.picture || !store.table.reference?.windows) return null;
  const [x, y] = placeOf(event);
  return allPegs().find((peg) => {
    const [left, top, width, height] = windowOf(peg) ?? [0, 0, 0, 0];
    return x >= left && y >= top && x < left + width && y < top + height;
  });
}

function outline(hovered) {
  if (!store.picture || !image.clientWidth) return;
  const context = sizeCanvas(canvas, image.clientWidth, image.clientHeight);
  const { scale, x, y } = lies();
  const draw = (peg, strong) => {
    const window = windowOf(peg);
    if (!window) return;
    const [left, top, width, height] = window.map((value) => value * scale);
    frame(context, [x + left, y + top, width, height], strong);
  };
  for (const peg of store.chosen) draw(peg, false);
  draw(store.at, true);
  if (hovered && !isSame(hovered, store.at)) draw(hovered, false);
}

// A picture that was not found: another of the folder is named.
function startLost() {
  const form = h("form", { hidden: true, onsubmit: (event) => {
    event.preventDefault();
    const { value } = $("picture-of");
    change(line`reference ${value}`, `${value} is its picture.`);
  } });
  $("reference-hint").after(form);
  let known = "";
  on("table", () => {
    const { pictures, reference } = store.table;
    form.hidden = !!reference || !pictures.length;
    if (`${pictures}` === known) return;
    known = `${pictures}`;
    form.replaceChildren(h("label", { htmlFor: "picture-of" }, "Its picture in this folder"), more(pick("picture-of", pictures), h("button", { type: "submit", className: "small" }, "Use it")));
  });
}

// Held longer than this, the key lays the picture under only while it is held.
const HELD_AFTER = 350;
let pressedAt = 0;

function layUnder(under) {
  store.under = under;
  tellAll("under");
}

export function keyDown() {
  pressedAt = performance.now();
  layUnder(!store.under);
}

export function keyUp() {
  if (pressedAt && performance.now() - pressedAt > HELD_AFTER) layUnder(!store.under);
  pressedAt = 0;
}

function showUnder() {
  const can = !!store.picture && !!store.table.reference?.windows;
  const is = store.under && can;
  $("under").disabled = !can;
  $("under").setAttribute("aria-pressed", `${is}`);
  $("stage").classList.toggle("with-picture", is);
  const { cell, table: { rows, columns } } = store;
  if (!is || !cell) return;
  const context = sizeCanvas($("under-canvas"), columns * cell, rows * cell);
  for (const peg of allPegs()) {
    const window = windowOf(peg);
    if (window) context.drawImage(store.picture, ...window, peg.column * cell, peg.row * cell, cell, cell);
  }
}
