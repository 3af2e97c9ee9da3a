// The figure on its pegs: a grid as the WAI-ARIA Authoring Practices describe it, one tab stop, arrows inside.
import { $, h, isTyping, say } from "./dom.js";
import { store, on, go, change, tellAll, key, keyOf, beadAt, isSame } from "./store.js";
import { makePeg, refresh } from "./pegs.js";
import * as chosen from "./chosen.js";
import { areTwo } from "./zoom.js";

let board;
let spots = new Map();
let shape = "";
let current = null;
const PAGE = 5;

export function start() {
  board = h("div", { id: "board", role: "grid", "aria-labelledby": "beads-title", "aria-multiselectable": "true" });
  $("board-frame").append(h("div", { className: "stage", id: "stage" },
    h("div", { id: "column-numbers", className: "column-numbers", "aria-hidden": "true" }),
    h("div", { className: "pegs" }, h("canvas", { id: "under-canvas", className: "under", "aria-hidden": "true" }), board)));
  const listeners = {
    keydown: walk,
    pointerdown: press,
    pointerover: over,
    pointerleave: () => point(null),
    dblclick: ({ target }) => spotOf(target) && !store.hand && chosen.choosePatch(spotOf(target)),
    keyup: ({ key: up }) => up === "Alt" && chosen.putDown(),
    focusout: ({ relatedTarget }) => !board.contains(relatedTarget) && chosen.putDown(),
    focusin: ({ target: { spot } }) => spot && !isSame(spot, store.at) && go(spot),
  };
  for (const [name, does] of Object.entries(listeners)) board.addEventListener(name, does);
  addEventListener("pointerup", release);
  addEventListener("pointercancel", release);
  new ResizeObserver(fit).observe($("board-frame"));
  addEventListener("resize", fit);
  on("table", () => {
    const { file, rows, columns, zones } = store.table;
    const now = JSON.stringify([file, rows, columns, zones]);
    if (now !== shape) build();
    shape = now;
  });
  on("table parts way pointed ghost", () => spots.forEach(refresh));
  on("at table", mark);
}

function build() {
  const hadFocus = board.contains(document.activeElement);
  const { rows, columns, zones } = store.table;
  const each = (length, make) => Array.from({ length: length + 2 }, (_, at) => make(at - 1, at > 0 && at <= length ? `${at}` : ""));
  spots = new Map();
  board.replaceChildren(...each(rows, (row, words) => {
    const zone = zones.find((one) => one.rows > 0 && one.first === row)?.zone;
    const pegs = each(columns, (column) => {
      const spot = makePeg(row, column);
      spots.set(keyOf(spot), spot);
      return spot.peg;
    });
    return h("div", { className: zone ? "peg-row zone-begins" : "peg-row", role: "row", "aria-rowindex": row + 2 },
      h("span", { className: "row-number", "aria-hidden": "true" }, zone ? h("span", { className: "zone-name" }, zone) : null, words), ...pegs);
  }));
  board.setAttribute("aria-rowcount", rows + 2);
  board.setAttribute("aria-colcount", columns + 2);
  $("column-numbers").replaceChildren(...each(columns, (_, words) => h("span", {}, words)));
  current = null;
  fit();
  if (hadFocus) focusPeg();
}

const LEAST = 24;
const MOST = 34;
// CSS pixels above and below the board.
const AROUND = 190;

function widest() {
  const frame = $("board-frame");
  const gutter = parseFloat(getComputedStyle(frame).getPropertyValue("--gutter"));
  return (frame.clientWidth - gutter - 4) / (store.table.columns + 2);
}

// The zoom that shows the whole width.
export const wholeZoom = () => Math.min(1, widest() / LEAST);

// Beads as large as fit, never smaller than a finger can hit unless the maker has them so.
export function fit() {
  const frame = $("board-frame");
  if (!store.table || frame.clientWidth === 0) return;
  const high = (innerHeight - AROUND) / (store.table.rows + 3);
  const cell = Math.floor(Math.min(MOST, Math.max(LEAST, Math.min(widest(), Math.max(high, 26)))) * store.zoom);
  frame.classList.toggle("zoomed", store.zoom > 1);
  if (store.cell === cell) return;
  $("stage").style.setProperty("--cell", `${cell}px`);
  store.cell = cell;
  tellAll("cell");
}

function mark(topics) {
  const spot = spots.get(keyOf(store.at));
  if (spot && current !== spot) {
    for (const [one, is] of [[current, false], [spot, true]]) {
      if (!one) continue;
      one.peg.tabIndex = is ? 0 : -1;
      one.peg.classList.toggle("now", is);
    }
    current = spot;
    // A step that moved the beads moves nothing away from under the hand.
    if (!topics.includes("trouble") && !isTyping(document.activeElement)) spot.peg.scrollIntoView({ block: "nearest", inline: "nearest" });
  }
  const all = new Set(store.chosen.map(keyOf));
  for (const [place, other] of spots) {
    const is = all.has(place);
    if (!!other.chosen === is) continue;
    other.chosen = is;
    other.peg.classList.toggle("chosen", is);
    if (is) other.peg.setAttribute("aria-selected", "true");
    else other.peg.removeAttribute("aria-selected");
  }
}

export const focusPeg = () => spots.get(keyOf(store.at))?.peg.focus({ preventScroll: true });

export function preview(places) {
  for (const element of board.querySelectorAll(".preview")) element.classList.remove("preview");
  for (const place of places) spots.get(keyOf(place))?.peg.classList.add("preview");
}

const STEPS = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1], PageUp: [-PAGE, 0], PageDown: [PAGE, 0] };
// Where a choice by keys began, and where it had come to: whoever went elsewhere begins anew.
let anchor = null;
let walked = null;

function walk(event) {
  const step = STEPS[event.key];
  const carries = event.altKey || chosen.isCarrying();
  if (event.metaKey || !(step && (carries || !event.ctrlKey)) && (carries || !["Home", "End"].includes(event.key))) return;
  event.preventDefault();
  if (carries) return chosen.nudge(...step);
  const { rows, columns } = store.table;
  let { row, column } = store.at;
  if (step) {
    row = Math.min(Math.max(row + step[0], -1), rows);
    column = Math.min(Math.max(column + step[1], -1), columns);
  } else {
    const isEnd = event.key === "End";
    column = isEnd ? columns - 1 : 0;
    if (event.ctrlKey) row = isEnd ? rows - 1 : 0;
  }
  if (walked && !isSame(walked, store.at)) anchor = null;
  anchor = event.shiftKey ? (anchor ?? store.at) : null;
  walked = { row, column };
  go({ row, column }, anchor ? block(anchor, { row, column }) : []);
  focusPeg();
}

function block(a, b) {
  const between = (one, other) => Array.from({ length: Math.abs(one - other) + 1 }, (_, at) => Math.min(one, other) + at);
  return between(a.row, b.row).flatMap((row) => between(a.column, b.column).map((column) => ({ row, column })));
}

let drag = null;
const spotOf = (target) => target.closest?.(".peg")?.spot;
const placeOf = ({ row, column }) => ({ row, column });

function press(event) {
  const spot = spotOf(event.target);
  if (!spot || event.button !== 0) return;
  const place = placeOf(spot);
  const touch = event.pointerType === "touch";
  // What is chosen is taken along by whoever presses it and drags.
  const carries = !store.hand && !event.shiftKey && store.chosen.length > 1 && spot.chosen;
  event.target.releasePointerCapture?.(event.pointerId);
  if (event.altKey && !carries) {
    drag = null;
    return takeBead(place);
  }
  drag = { from: event.shiftKey && !store.hand ? store.at : place, places: [place], touch, carries, fills: event.shiftKey || store.filling };
  if (touch && !store.hand) return;
  event.preventDefault();
  if (!carries) take(place);
}

function take(place) {
  const pegs = store.hand ? [] : block(store.corner ?? drag.from, place);
  go(place, pegs.length > 1 ? pegs : []);
  focusPeg();
}

function over(event) {
  const spot = spotOf(event.target);
  if (!spot) return;
  point(spot);
  if (!drag || areTwo() || (event.pointerType === "mouse" && event.buttons !== 1) || (drag.touch && !store.hand && !drag.carries)) return;
  if (isSame(drag.places.at(-1), spot)) return;
  drag.places.push(placeOf(spot));
  if (drag.carries) return chosen.carryTo({ down: spot.row - drag.from.row, right: spot.column - drag.from.column });
  if (store.hand && !drag.fills) preview(drag.places);
  take(placeOf(spot));
}

function release(event) {
  if (!drag) return;
  const { places, touch, carries, fills } = drag;
  const spot = spotOf(event.target);
  const cancelled = event.type === "pointercancel" || areTwo();
  if (touch && !cancelled && spot && !store.hand && !(carries && places.length > 1)) take(placeOf(spot));
  drag = null;
  preview([]);
  if (carries) {
    if (cancelled) chosen.leave();
    else if (places.length > 1) chosen.putDown(event.ctrlKey || event.altKey || event.metaKey);
    else if (spot && !touch) go(spot);
    return;
  }
  if (!cancelled && spot) store.corner = null;
  if (!store.hand || cancelled || !board.contains(event.target)) return;
  const bead = store.hand;
  if (fills) return chosen.fill(bead, places.at(-1));
  const unique = [...new Map(places.map((peg) => [keyOf(peg), peg])).values()];
  change(() => chosen.placed(unique, bead), unique.length === 1 ? undefined : `${unique.length} pegs: ${bead}`);
}

export function takeBead(peg) {
  const bead = beadAt(peg);
  if (bead === null) return say("There is no bead to take.");
  store.hand = bead;
  tellAll("hand");
  say(`${bead} in your hand.`);
}

function point(spot) {
  store.over = spot && placeOf(spot);
  tellAll("over");
}
