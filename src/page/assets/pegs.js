// One peg of the board: its element, and what changes on it.
import { h } from "./dom.js";
import { store, cellAt, keyOf, partNow } from "./store.js";
import { seen } from "./seeing.js";
import { inkOn } from "./draw.js";
import { lowerFirst, pegWords, where } from "./words.js";

const HARDLY = 0.5;

// A peg's element; what it holds is filled in by `refresh`.
export function makePeg(row, column) {
  const bead = h("span", { className: "bead" });
  const peg = h("div", { className: "peg", role: "gridcell", tabIndex: -1, "aria-colindex": column + 2 }, bead);
  peg.spot = { peg, bead, row, column, was: "" };
  return peg.spot;
}

// Gives an element a bead's colour, and the ink that is read on it.
export function paint(element, hex) {
  element.style.setProperty("--bead", hex);
  element.style.setProperty("--ink", inkOn(hex));
}

// Nothing is touched where nothing changed.
export function refresh(spot) {
  const { row, column, peg, bead } = spot;
  const cell = cellAt(spot);
  const place = keyOf(spot);
  const doubt = store.doubtAt.get(place);
  const isGhost = store.ghost.has(place);
  const name = cell ? store.beadOf.get(cell.m) : null;
  const shown = isGhost ? store.ghost.get(place) : name;
  const hex = shown ? seen(shown) : "";
  const pointed = store.pointed.has(place);
  // Where a part is open, what is of another part steps back.
  const other = cell && store.part !== undefined && cell.p !== partNow() ? store.table.parts[cell.p].name : "";
  const is = [name, cell?.m, hex, cell?.h, cell?.s, doubt?.sure, doubt?.others[0]?.bead, pointed, isGhost, other].join("|");
  if (spot.was === is) return;
  spot.was = is;
  const classes = { empty: !shown, ghost: isGhost, pointed, doubtful: doubt, hardly: doubt && (doubt.sure ?? 0) < HARDLY, aside: other && !isGhost, "not-owned": store.notOwned.has(shown) };
  for (const [word, has] of Object.entries(classes)) peg.classList.toggle(word, !!has);
  bead.textContent = other || isGhost ? "" : (cell?.m ?? "");
  if (hex) paint(bead, hex);
  const isBeside = row < 0 || column < 0 || row >= store.table.rows || column >= store.table.columns;
  const words = isBeside ? `${lowerFirst(where(spot))}, free peg beside the figure` : pegWords(spot, cell, name, doubt);
  peg.setAttribute("aria-label", `${words}${store.notOwned.has(name) ? ", not owned" : ""}${other ? `, of ${other}` : ""}`);
}
