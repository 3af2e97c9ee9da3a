// The place in question close up: the picture there, the beads there, and what else they could be.
import { h } from "./dom.js";
import { store, cellAt, beadAt, key } from "./store.js";
import { drawBead, sizeCanvas } from "./draw.js";
import { frame, windowOf } from "./picture.js";
import { seen } from "./seeing.js";
import { beadName } from "./words.js";

const SIDE = 132;
// Two beads to each side are enough to know where one is.
const LEAST = 5;

const picture = h("canvas", { role: "img" });
const now = h("canvas", { role: "img" });
const then = h("canvas", { role: "img" });

const clamp = (value, length) => Math.min(Math.max(value, 0), length - 1);

/** The square about some pegs: its first row and column, and how many beads it is across. */
function square(places) {
  const span = (of) => [Math.min(...places.map(of)), Math.max(...places.map(of))];
  const [[top, bottom], [left, right]] = [span((peg) => peg.row), span((peg) => peg.column)];
  const across = Math.max(LEAST, bottom - top + 3, right - left + 3);
  const first = (from, to) => Math.round((from + to + 1 - across) / 2);
  return { row: first(top, bottom), column: first(left, right), across };
}

/** The views of some pegs in one element; `others` are a bead that lies there, and one that could. */
export function closeUp(places, others) {
  const area = square(places);
  const views = [[now, others[0] === undefined ? "in beads" : beadName(others[0])]];
  drawBeads(now, area);
  if (others.length > 1) {
    views.push([then, beadName(others[1])]);
    drawBeads(then, area, new Set(places.map((peg) => key(peg.row, peg.column))), others[1]);
  }
  if (drawPicture(area, places)) views.unshift([picture, "in the picture"]);
  return h("div", { className: "closeup" }, views.map(([canvas, words]) => h("figure", {}, canvas, h("figcaption", {}, words))));
}

function drawBeads(canvas, { row: top, column: left, across }, tried, other) {
  const cell = SIDE / across;
  const context = sizeCanvas(canvas, SIDE, SIDE);
  for (let r = 0; r < across; r += 1) {
    for (let c = 0; c < across; c += 1) {
      const [row, column] = [top + r, left + c];
      const bead = tried?.has(key(row, column)) ? other : cellAt(row, column) && beadAt(row, column);
      if (bead) drawBead(context, c * cell, r * cell, cell, seen(bead));
      else dot(context, (c + 0.5) * cell, (r + 0.5) * cell);
    }
  }
  if (across === LEAST) frame(context, [(store.at.column - left) * cell, (store.at.row - top) * cell, cell, cell]);
  canvas.setAttribute("aria-label", tried ? `With ${beadName(other)}` : "The beads around this place");
}

/** Draws the picture there; false where none is known. */
function drawPicture({ row, column, across }, places) {
  const middle = (first, length) => clamp(Math.round(first + (across - 1) / 2), length);
  const one = places.length === 1 ? places[0] : { row: middle(row, store.table.rows), column: middle(column, store.table.columns) };
  const window = windowOf({ row: clamp(one.row, store.table.rows), column: clamp(one.column, store.table.columns) });
  if (!window) return false;
  const [x, y, w, height] = window;
  const scale = SIDE / across / Math.max(w, height);
  const view = sizeCanvas(picture, SIDE, SIDE);
  const half = SIDE / scale / 2;
  view.drawImage(store.picture, x + w / 2 - half, y + height / 2 - half, 2 * half, 2 * half, 0, 0, SIDE, SIDE);
  if (places.length === 1) frame(view, [(SIDE - w * scale) / 2, (SIDE - height * scale) / 2, w * scale, height * scale]);
  picture.setAttribute("aria-label", "The picture around this place");
  return true;
}

function dot(context, x, y) {
  context.beginPath();
  context.arc(x, y, 1.5, 0, 2 * Math.PI);
  context.fillStyle = "#8a857a";
  context.fill();
}
