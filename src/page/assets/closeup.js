// The place in question close up: the picture there, and the beads there.
import { h } from "./dom.js";
import { store, cellAt, beadAt } from "./store.js";
import { drawBead, sizeCanvas } from "./draw.js";
import { frame, windowOf } from "./picture.js";
import { seen } from "./seeing.js";

const SIDE = 132;
// Two beads to each side are enough to know where one is.
const AROUND = 2;
const ACROSS = 2 * AROUND + 1;

const picture = h("canvas", { role: "img" });
const beads = h("canvas", { role: "img" });

/** Both views in one element; null views are left out. */
export function closeUp() {
  const window = windowOf(nearest());
  return h(
    "div",
    { className: "closeup" },
    window ? h("figure", {}, picture, h("figcaption", {}, "in the picture")) : null,
    h("figure", {}, beads, h("figcaption", {}, "in beads")),
  );
}

function nearest() {
  const { rows, columns } = store.table;
  const clamp = (value, length) => Math.min(Math.max(value, 0), length - 1);
  return { row: clamp(store.at.row, rows), column: clamp(store.at.column, columns) };
}

/** Draws both views for the peg the maker is at. */
export function drawCloseUp() {
  const cell = SIDE / ACROSS;
  const at = store.at;
  const context = sizeCanvas(beads, SIDE, SIDE);
  for (let r = 0; r < ACROSS; r += 1) {
    for (let c = 0; c < ACROSS; c += 1) {
      const [row, column] = [at.row - AROUND + r, at.column - AROUND + c];
      if (cellAt(row, column)) drawBead(context, c * cell, r * cell, cell, seen(beadAt(row, column)));
      else dot(context, (c + 0.5) * cell, (r + 0.5) * cell);
    }
  }
  frame(context, [AROUND * cell, AROUND * cell, cell, cell]);
  beads.setAttribute("aria-label", "The beads around this place");
  const window = windowOf(nearest());
  if (!window) return;
  const [x, y, w, height] = window;
  const scale = cell / Math.max(w, height);
  const view = sizeCanvas(picture, SIDE, SIDE);
  const [cx, cy] = [x + w / 2, y + height / 2];
  const half = SIDE / scale / 2;
  view.drawImage(store.picture, cx - half, cy - half, 2 * half, 2 * half, 0, 0, SIDE, SIDE);
  frame(view, [SIDE / 2 - (w * scale) / 2, SIDE / 2 - (height * scale) / 2, w * scale, height * scale]);
  picture.setAttribute("aria-label", "The picture around this place, this bead’s window framed");
}

function dot(context, x, y) {
  context.beginPath();
  context.arc(x, y, 1.5, 0, 2 * Math.PI);
  context.fillStyle = "#8a857a";
  context.fill();
}
