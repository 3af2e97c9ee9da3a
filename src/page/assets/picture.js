// The reference beside the figure, with the window of a bead outlined; pointing goes both ways.
import { $, h, text } from "./dom.js";
import { store, watch, go, tellAll } from "./store.js";
import { getBlob } from "./wire.js";
import { preview } from "./board.js";
import { nearest } from "./colour.js";

let image;
let canvas;
let shown = null;

export function start() {
  image = h("img", { alt: "The reference, upright and cropped", draggable: false, hidden: true });
  canvas = h("canvas", { "aria-hidden": "true" });
  $("reference-frame").append(image, canvas);
  image.addEventListener("load", () => {
    // Nothing stands in its place until it can be drawn.
    image.hidden = false;
    store.picture = image;
    tellAll("reference");
  });
  $("reference-frame").addEventListener("pointermove", (event) => {
    const peg = pegAt(event);
    preview(peg ? [peg] : []);
    outline(peg);
  });
  $("reference-frame").addEventListener("pointerleave", () => {
    preview([]);
    outline(null);
  });
  $("reference-frame").addEventListener("click", (event) => {
    const peg = pegAt(event);
    if (peg) go(peg.row, peg.column);
    nearest(placeOf(event));
  });
  new ResizeObserver(() => outline(store.over)).observe($("reference-frame"));
  watch((_, topics) => {
    if (topics.has("table")) load();
    if (["at", "over", "reference", "table", "cell"].some((topic) => topics.has(topic))) outline(store.over);
  });
}

async function load() {
  const { file, reference, rows } = store.table;
  const wanted = reference && !reference.pending ? file : null;
  $("reference-frame").hidden = !reference;
  const note = store.table.reference_note;
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
    text($("reference-hint"), trouble.words);
  }
}

/** The window of a peg in pixels of the picture as it came, or null. */
export function windowOf({ row, column }) {
  const reference = store.table.reference;
  const window = reference?.windows?.[row]?.[column];
  if (!window || !store.picture) return null;
  const scale = store.picture.naturalWidth / reference.width;
  return window.map((value) => value * scale);
}

/** Where the picture is pointed at, in its pixels. */
function placeOf(event) {
  const box = image.getBoundingClientRect();
  const scale = image.naturalWidth / box.width;
  return [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale];
}

function pegAt(event) {
  if (!store.picture || !store.table.reference?.windows) return null;
  const [x, y] = placeOf(event);
  for (let row = 0; row < store.table.rows; row += 1) {
    for (let column = 0; column < store.table.columns; column += 1) {
      const window = windowOf({ row, column });
      if (window && x >= window[0] && y >= window[1] && x < window[0] + window[2] && y < window[1] + window[3]) return { row, column };
    }
  }
  return null;
}

/** A frame read on any colour: dark, light, dark. */
export function frame(context, [x, y, w, h], strong = true) {
  const lines = strong ? [[5, "#111"], [3, "#fff"], [1, "#111"]] : [[3, "#111"], [1.5, "#fff"]];
  for (const [width, colour] of lines) {
    context.lineWidth = width;
    context.strokeStyle = colour;
    context.strokeRect(x, y, w, h);
  }
}

function outline(hovered) {
  const [width, height] = [image.clientWidth, image.clientHeight];
  if (!store.picture || !width) return;
  const dense = devicePixelRatio || 1;
  if (canvas.width !== Math.round(width * dense)) canvas.width = Math.round(width * dense);
  if (canvas.height !== Math.round(height * dense)) canvas.height = Math.round(height * dense);
  const context = canvas.getContext("2d");
  context.setTransform(dense, 0, 0, dense, 0, 0);
  context.clearRect(0, 0, width, height);
  const scale = width / image.naturalWidth;
  const draw = (peg, strong) => {
    const window = peg && windowOf(peg);
    if (window) frame(context, window.map((value) => value * scale), strong);
  };
  for (const peg of store.chosen) draw(peg, false);
  draw(store.at, true);
  if (hovered && (hovered.row !== store.at.row || hovered.column !== store.at.column)) draw(hovered, false);
}
