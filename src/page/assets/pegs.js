// One peg of the board: its element, and what changes on it.
import { h } from "./dom.js";
import { store, cellAt, key } from "./store.js";
import { seen } from "./seeing.js";
import { inkOn } from "./draw.js";
import { pegWords } from "./words.js";

const HARDLY = 0.5;

/** A peg's element; what it holds is filled in by `refresh`. */
export function makePeg(row, column) {
  const bead = h("span", { className: "bead" });
  const peg = h("div", { className: "peg", role: "gridcell", tabIndex: -1, "aria-colindex": column + 2 }, bead);
  return { peg, bead, row, column, was: "" };
}

/** Brings one peg up to date; nothing is touched where nothing changed. */
export function refresh(spot) {
  const { row, column, peg, bead } = spot;
  const cell = cellAt(row, column);
  const place = key(row, column);
  const doubt = store.doubtAt.get(place);
  const isGhost = store.ghost.has(place);
  const name = isGhost ? store.ghost.get(place) : cell ? store.beadOf.get(cell.m) : null;
  const hex = name ? seen(name) : "";
  const pointed = store.pointed.has(place);
  const is = `${name}|${cell?.m}|${hex}|${cell?.h}|${cell?.s}|${doubt ? `${doubt.sure},${doubt.others[0]?.bead}` : ""}|${pointed}|${isGhost}`;
  if (spot.was === is) return;
  spot.was = is;
  peg.classList.toggle("empty", !name);
  peg.classList.toggle("ghost", isGhost);
  peg.classList.toggle("pointed", pointed);
  peg.classList.toggle("doubtful", !!doubt);
  peg.classList.toggle("hardly", !!doubt && (doubt.sure ?? 0) < HARDLY);
  peg.classList.toggle("by-hand", !!cell?.h);
  bead.textContent = isGhost ? "" : (cell?.m ?? "");
  if (hex) {
    bead.style.setProperty("--bead", hex);
    bead.style.setProperty("--ink", inkOn(hex));
  }
  peg.setAttribute("aria-label", outside(row, column) ? outsideWords(row, column) : pegWords(spot, cell, name, doubt));
}

const outside = (row, column) =>
  row < 0 || column < 0 || row >= store.table.rows || column >= store.table.columns;

function outsideWords(row, column) {
  return `row ${row + 1}, column ${column + 1}, free peg beside the figure`;
}
