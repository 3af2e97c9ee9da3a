// One peg of the board: its element, and what changes on it.
import { h } from "./dom.js";
import { store, cellAt, key, markOf, partNow } from "./store.js";
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
  const name = cell ? store.beadOf.get(cell.m) : null;
  const shown = isGhost ? store.ghost.get(place) : name;
  const hex = shown ? seen(shown) : "";
  const pointed = store.pointed.has(place);
  // Where a part is open, what is of another part steps back.
  const other = cell && store.part !== undefined && cell.p !== partNow() ? store.table.parts[cell.p].name : "";
  const is = `${name}|${cell?.m}|${hex}|${cell?.h}|${cell?.s}|${doubt ? `${doubt.sure},${doubt.others[0]?.bead}` : ""}|${pointed}|${isGhost}|${other}`;
  if (spot.was === is) return;
  spot.was = is;
  const classes = { empty: !shown, ghost: isGhost, pointed, doubtful: doubt, hardly: doubt && (doubt.sure ?? 0) < HARDLY, "by-hand": cell?.h, aside: other && !isGhost, "not-owned": store.notOwned.has(shown) };
  for (const [word, has] of Object.entries(classes)) peg.classList.toggle(word, !!has);
  bead.textContent = other || isGhost ? "" : (cell?.m ?? "");
  if (hex) {
    bead.style.setProperty("--bead", hex);
    bead.style.setProperty("--ink", inkOn(hex));
  }
  const words = outside(row, column) ? outsideWords(row, column) : pegWords(spot, cell, name, doubt);
  peg.setAttribute("aria-label", `${words}${store.notOwned.has(name) ? ", not owned" : ""}${other ? `, of ${other}` : ""}`);
}

const outside = (row, column) =>
  row < 0 || column < 0 || row >= store.table.rows || column >= store.table.columns;

function outsideWords(row, column) {
  return `row ${row + 1}, column ${column + 1}, free peg beside the figure`;
}
