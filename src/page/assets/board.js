// The figure on its pegs: a grid as the WAI-ARIA Authoring Practices describe it, one tab stop, arrows inside.
import { $, h, isTyping, say } from "./dom.js";
import { store, watch, go, change, tellAll, key, pegs, beadAt } from "./store.js";
import { makePeg, refresh } from "./pegs.js";
import { placed } from "./laying.js";
import * as chosen from "./chosen.js";
import { areTwo } from "./touch.js";

let board;
let lines = [];
let spots = new Map();
let shape = "";
let current = null;
const PAGE = 5;

export function start() {
  board = h("div", { id: "board", className: "board", role: "grid", "aria-labelledby": "beads-title" });
  board.setAttribute("aria-multiselectable", "true");
  const numbers = h("div", { id: "column-numbers", className: "column-numbers", "aria-hidden": "true" });
  const under = h("canvas", { id: "under-canvas", className: "under", "aria-hidden": "true" });
  const stage = h("div", { className: "stage", id: "stage" }, numbers, h("div", { className: "pegs" }, under, board));
  $("board-frame").append(stage);
  board.addEventListener("keydown", walk);
  board.addEventListener("pointerdown", press);
  board.addEventListener("pointerover", over);
  board.addEventListener("pointerleave", () => point(null));
  board.addEventListener("dblclick", ({ target }) => {
    const spot = spotOf(target);
    if (spot && !store.hand) chosen.choosePatch(spot);
  });
  board.addEventListener("keyup", ({ key: up }) => up === "Alt" && chosen.putDown());
  board.addEventListener("focusout", ({ relatedTarget }) => !board.contains(relatedTarget) && chosen.putDown());
  addEventListener("pointerup", release);
  addEventListener("pointercancel", release);
  board.addEventListener("focusin", ({ target }) => {
    const spot = target.spot;
    if (spot && (spot.row !== store.at.row || spot.column !== store.at.column)) go(spot.row, spot.column);
  });
  new ResizeObserver(fit).observe($("board-frame"));
  addEventListener("resize", fit);
  watch((_, topics) => {
    if (!store.table) return;
    const now = `${store.table.file}:${store.table.rows}x${store.table.columns}:${JSON.stringify(store.table.zones)}`;
    if (now !== shape) build(now);
    if (["table", "parts", "way", "pointed", "ghost"].some((topic) => topics.has(topic))) spots.forEach(refresh);
    if (topics.has("at") || topics.has("table")) mark();
  });
}

function build(now) {
  shape = now;
  const hadFocus = board.contains(document.activeElement);
  const { rows, columns, zones } = store.table;
  const first = new Map(zones.filter((zone) => zone.rows > 0).map((zone) => [zone.first, zone.zone]));
  spots = new Map();
  lines = [];
  for (let row = -1; row <= rows; row += 1) {
    const zone = first.get(row);
    const number = h("span", { className: "row-number", "aria-hidden": "true" }, row < 0 || row >= rows ? "" : `${row + 1}`);
    const line = h("div", { className: "peg-row", role: "row", "aria-rowindex": row + 2 }, number);
    if (zone) {
      line.classList.add("zone-begins");
      number.prepend(h("span", { className: "zone-name" }, zone));
    }
    for (let column = -1; column <= columns; column += 1) {
      const spot = makePeg(row, column);
      spot.peg.spot = spot;
      spots.set(key(row, column), spot);
      line.append(spot.peg);
    }
    lines.push(line);
  }
  board.replaceChildren(...lines);
  board.setAttribute("aria-rowcount", rows + 2);
  board.setAttribute("aria-colcount", columns + 2);
  $("column-numbers").replaceChildren(
    ...Array.from({ length: columns + 2 }, (_, c) => h("span", {}, c < 1 || c > columns ? "" : `${c}`)),
  );
  current = null;
  fit();
  if (hadFocus) focusPeg();
}

const LEAST = 24;
const MOST = 34;
const GUTTER = 64;

/** Beads as large as fit, never smaller than a finger can hit unless the maker has them so. */
export function fit() {
  if (!store.table || $("board-frame").clientWidth === 0) return;
  const style = getComputedStyle($("board-frame"));
  const gutter = parseFloat(style.getPropertyValue("--gutter")) || GUTTER;
  const wide = ($("board-frame").clientWidth - gutter - 4) / (store.table.columns + 2);
  const high = (innerHeight - 190) / (store.table.rows + 3);
  const cell = Math.floor(Math.min(MOST, Math.max(LEAST, Math.min(wide, Math.max(high, 26)))) * store.zoom);
  $("board-frame").classList.toggle("zoomed", store.zoom > 1);
  if ($("stage").style.getPropertyValue("--cell") === `${cell}px`) return;
  $("stage").style.setProperty("--cell", `${cell}px`);
  store.cell = cell;
  tellAll("cell");
}

function mark() {
  const { row, column } = store.at;
  const spot = spots.get(key(row, column));
  if (spot && current !== spot) {
    if (current) {
      current.peg.tabIndex = -1;
      current.peg.classList.remove("now");
    }
    current = spot;
    spot.peg.tabIndex = 0;
    spot.peg.classList.add("now");
    reveal(spot.peg);
  }
  const chosen = new Set(store.chosen.map((peg) => key(peg.row, peg.column)));
  for (const [place, other] of spots) {
    const is = chosen.has(place);
    if (other.chosen === is) continue;
    other.chosen = is;
    other.peg.classList.toggle("chosen", is);
    if (is) other.peg.setAttribute("aria-selected", "true");
    else other.peg.removeAttribute("aria-selected");
  }
}

/** Brings a peg into view inside its frame, and on a small screen above the card that lies over the page's foot. */
function reveal(peg) {
  if (!isTyping(document.activeElement)) peg.scrollIntoView({ block: "nearest", inline: "nearest" });
}

/** Takes the keyboard to the peg the maker is at. */
export function focusPeg() {
  spots.get(key(store.at.row, store.at.column))?.peg.focus({ preventScroll: true });
}

/** Pegs are outlined for as long as something points at them. */
export function preview(places) {
  for (const element of board.querySelectorAll(".preview")) element.classList.remove("preview");
  for (const { row, column } of places) spots.get(key(row, column))?.peg.classList.add("preview");
}

const STEPS = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1], PageUp: [-PAGE, 0], PageDown: [PAGE, 0] };
let anchor = null;

function walk(event) {
  if (event.metaKey) return;
  if (event.altKey || chosen.isCarrying()) {
    if (!STEPS[event.key]) return;
    event.preventDefault();
    chosen.nudge(...STEPS[event.key]);
    return;
  }
  const { rows, columns } = store.table;
  let { row, column } = store.at;
  if (STEPS[event.key] && !event.ctrlKey) {
    row += STEPS[event.key][0];
    column += STEPS[event.key][1];
  } else if (event.key === "Home") {
    column = 0;
    if (event.ctrlKey) row = 0;
  } else if (event.key === "End") {
    column = columns - 1;
    if (event.ctrlKey) row = rows - 1;
  } else return;
  event.preventDefault();
  row = Math.min(Math.max(row, -1), rows);
  column = Math.min(Math.max(column, -1), columns);
  if (event.shiftKey) {
    anchor ??= { ...store.at };
    go(row, column, block(anchor, { row, column }));
  } else {
    anchor = null;
    go(row, column);
  }
  focusPeg();
}

function block(a, b) {
  const places = [];
  for (let row = Math.min(a.row, b.row); row <= Math.max(a.row, b.row); row += 1) {
    for (let column = Math.min(a.column, b.column); column <= Math.max(a.column, b.column); column += 1) {
      places.push({ row, column });
    }
  }
  return places;
}

let drag = null;
const spotOf = (target) => target.closest?.(".peg")?.spot;

function press(event) {
  const spot = spotOf(event.target);
  if (!spot || event.button !== 0) return;
  const place = { row: spot.row, column: spot.column };
  const from = event.shiftKey && !store.hand ? { ...store.at } : place;
  const touch = event.pointerType === "touch";
  // What is chosen is taken along by whoever presses it and drags.
  const carries = !store.hand && !event.shiftKey && store.chosen.length > 1 && spot.peg.classList.contains("chosen");
  drag = { from, places: [place], touch, carries, fills: event.shiftKey || store.filling };
  event.target.releasePointerCapture?.(event.pointerId);
  if (event.altKey && !carries) {
    drag = null;
    return takeBead(place);
  }
  if (touch && !store.hand) return;
  event.preventDefault();
  if (!carries) take(spot);
}

function take(spot) {
  const place = { row: spot.row, column: spot.column };
  const corner = store.corner;
  if (store.hand) go(place.row, place.column);
  else {
    const pegs = block(corner ?? drag.from, place);
    go(place.row, place.column, pegs.length > 1 ? pegs : []);
  }
  focusPeg();
}

function over(event) {
  const spot = spotOf(event.target);
  if (!spot) return;
  point(spot);
  if (!drag || areTwo() || (event.pointerType === "mouse" && event.buttons !== 1) || (drag.touch && !store.hand && !drag.carries)) return;
  const last = drag.places.at(-1);
  if (last.row === spot.row && last.column === spot.column) return;
  drag.places.push({ row: spot.row, column: spot.column });
  if (drag.carries) return chosen.carryTo({ down: spot.row - drag.from.row, right: spot.column - drag.from.column });
  if (store.hand && !drag.fills) preview(drag.places);
  take(spot);
}

function release(event) {
  if (!drag) return;
  const { places, touch, carries, fills } = drag;
  const spot = spotOf(event.target);
  const cancelled = event.type === "pointercancel" || areTwo();
  if (touch && !cancelled && spot && !store.hand && !(carries && places.length > 1)) take(spot);
  drag = null;
  preview([]);
  if (carries) {
    if (cancelled) chosen.leave();
    else if (places.length > 1) chosen.putDown(event.ctrlKey || event.altKey || event.metaKey);
    else if (spot && !touch) go(spot.row, spot.column);
    return;
  }
  if (!cancelled && spot) store.corner = null;
  if (!store.hand || cancelled || !board.contains(event.target)) return;
  const bead = store.hand;
  if (fills) return chosen.fill(bead, places.at(-1));
  const unique = [...new Map(places.map((peg) => [key(peg.row, peg.column), peg])).values()];
  change(() => placed(unique, bead), unique.length === 1 ? undefined : `${unique.length} pegs: ${bead}`);
}

/** The bead that lies here goes into the hand. */
export function takeBead({ row, column }) {
  const bead = beadAt(row, column);
  if (bead === null) return say("There is no bead to take.");
  store.hand = bead;
  tellAll("hand");
  say(`${bead} in your hand.`);
}

function point(spot) {
  store.over = spot ? { row: spot.row, column: spot.column } : null;
  tellAll("over");
}

export { pegs };
