// The place in question close up.
import { h } from "./dom.js";
import { store, beadAt, keyOf } from "./store.js";
import { drawBead, frame, sizeCanvas } from "./draw.js";
import { windowOf } from "./picture.js";
import { seen } from "./seeing.js";
import { beadName } from "./words.js";

const SIDE = 132;
// Two beads to each side are enough to know where one is.
const LEAST = 5;

// The square about some pegs, and how many beads it is across.
function square(places) {
  const span = (of) => [Math.min(...places.map(of)), Math.max(...places.map(of))];
  const [[top, bottom], [left, right]] = [span((peg) => peg.row), span((peg) => peg.column)];
  const across = Math.max(LEAST, bottom - top + 3, right - left + 3);
  const first = (from, to) => Math.round((from + to + 1 - across) / 2);
  return { row: first(top, bottom), column: first(left, right), across };
}

export function closeUp(places, others) {
  const area = square(places);
  const views = [inPicture(area, places), inBeads(area, "The beads around this place", others.length ? beadName(others[0]) : "in beads")];
  if (others.length > 1) views.push(inBeads(area, `With ${beadName(others[1])}`, beadName(others[1]), new Set(places.map(keyOf)), others[1]));
  return h("div", { className: "closeup" }, views);
}

function view(label, words) {
  const canvas = h("canvas", { role: "img", "aria-label": label });
  return [h("figure", {}, canvas, h("figcaption", {}, words)), sizeCanvas(canvas, SIDE, SIDE)];
}

function inBeads({ row: top, column: left, across }, label, words, tried, other) {
  const cell = SIDE / across;
  const [figure, context] = view(label, words);
  for (let r = 0; r < across; r += 1) {
    for (let c = 0; c < across; c += 1) {
      const peg = { row: top + r, column: left + c };
      const bead = tried?.has(keyOf(peg)) ? other : beadAt(peg);
      if (bead) drawBead(context, c * cell, r * cell, cell, seen(bead));
      else {
        context.fillStyle = "#8a857a";
        context.fillRect((c + 0.5) * cell - 1, (r + 0.5) * cell - 1, 2, 2);
      }
    }
  }
  if (across === LEAST) frame(context, [(store.at.column - left) * cell, (store.at.row - top) * cell, cell, cell]);
  return figure;
}

function inPicture({ row, column, across }, places) {
  const clamp = (value, length) => Math.min(Math.max(Math.round(value), 0), length - 1);
  const { rows, columns } = store.table;
  const isOne = places.length === 1;
  const middle = isOne ? places[0] : { row: row + (across - 1) / 2, column: column + (across - 1) / 2 };
  const window = windowOf({ row: clamp(middle.row, rows), column: clamp(middle.column, columns) });
  if (!window) return null;
  const [x, y, w, height] = window;
  const scale = SIDE / across / Math.max(w, height);
  const [figure, context] = view("The picture around this place", "in the picture");
  const half = SIDE / scale / 2;
  context.drawImage(store.picture, x + w / 2 - half, y + height / 2 - half, 2 * half, 2 * half, 0, 0, SIDE, SIDE);
  if (isOne) frame(context, [(SIDE - w * scale) / 2, (SIDE - height * scale) / 2, w * scale, height * scale]);
  return figure;
}
