// The count against the tray: find a bead while typing, take it in the hand, see where it is used, swap it.
import { $, h, text, say } from "./dom.js";
import { store, watch, tellAll, key, beadAt } from "./store.js";
import { count, ownedWords, shortWords, where } from "./words.js";
import { lay, swatch } from "./doubts.js";
import { focusPeg } from "./board.js";
import { openSwap } from "./swap.js";

let search;
let list;
/** Whether beads are listed too of which none is owned. */
let also;
let active = null;
let entries = [];
let asked = null;

export function start() {
  list = h("ul", { id: "bead-list", className: "bead-list", role: "listbox", "aria-label": "Beads of your tray" });
  search = h("input", {
    id: "find-bead", type: "text", autocomplete: "off", spellcheck: false, role: "combobox", placeholder: "Find a bead by name",
    "aria-label": "Find a bead by name", "aria-controls": "bead-list", "aria-expanded": "true", "aria-autocomplete": "list",
    oninput: () => { active = null; show(); }, onkeydown: keys,
  });
  list.addEventListener("click", (event) => {
    const name = event.target.closest("[role=option]")?.dataset.bead;
    if (name) choose(name);
  });
  list.addEventListener("pointerdown", (event) => event.preventDefault());
  also = h("input", { type: "checkbox", id: "to-try", onchange: show });
  $("tray-body").append(
    h("p", { id: "asked", className: "asked", hidden: true }), search, h("p", { id: "short", className: "warning", hidden: true }), list,
    h("p", { className: "tick", id: "also", hidden: true }, also, h("label", { htmlFor: "to-try" }, "Also beads you do not own, to try")),
    h("div", { id: "of-bead", className: "of-bead", hidden: true }),
  );
  watch((_, topics) => {
    if (!store.table) return;
    if (["table", "way", "hand", "pointed"].some((topic) => topics.has(topic))) show();
    if (topics.has("hand")) hand();
  });
}

/** Asks for a bead to lay on the pegs of an answer's target; the next one chosen goes there. */
export function askFor(target) {
  asked = target;
  search.value = "";
  active = null;
  show();
  search.focus();
  $("tray").scrollIntoView({ block: "nearest" });
}

function settleAsked(name) {
  const target = asked;
  asked = null;
  search.value = "";
  show();
  if (name) lay(name, target);
  focusPeg();
}

function choose(name) {
  if (asked) settleAsked(name);
  else take(store.hand === name ? null : name);
}

/** Takes a bead in the hand, or lays it back. */
export function take(name) {
  store.hand = name;
  active = name;
  tellAll("hand");
  say(name ? `${name} in your hand. Space lays it on a peg, Escape puts it back.` : "Hand empty.");
}

function hand() {
  const name = store.hand;
  $("beads").classList.toggle("holding", !!name);
  // The line stays where no bead is held, so that taking one does not push the board.
  if (!name) {
    $("hand").replaceChildren(h("span", { className: "hint" }, "To lay beads, take one from your tray."));
    return;
  }
  $("hand").replaceChildren(
    swatch(name), h("span", { className: "held" }, h("b", {}, name), " in your hand"),
    h("button", { className: "small", "aria-pressed": String(!!store.filling), title: "With Shift for once", onclick: () => {
      store.filling = !store.filling;
      hand();
    } }, "Whole patch"),
    h("button", { className: "small", onclick: () => take(null) }, "Put it back"),
  );
}

function keys(event) {
  const at = entries.findIndex((entry) => entry.bead === active);
  if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    const next = event.key === "ArrowDown" ? at + 1 : at - 1;
    active = entries[Math.min(Math.max(next, 0), entries.length - 1)]?.bead ?? null;
    show();
  } else if (event.key === "Enter") {
    const name = active ?? (search.value ? entries[0]?.bead : null);
    if (name) choose(name);
  } else if (event.key === "Escape") {
    if (search.value) {
      search.value = "";
      show();
    } else settleAsked(null);
  } else return;
  event.preventDefault();
  event.stopPropagation();
}

function collect() {
  const { legend, tray } = store.table;
  const used = legend.filter((entry) => entry.needed > 0).sort((a, b) => b.short - a.short || b.needed - a.needed);
  const names = new Set(used.map((entry) => entry.bead));
  const rest = tray.filter((bead) => !names.has(bead.bead) && (also.checked || !bead.tried)).map((bead) => ({ ...bead, needed: 0, short: 0, left: bead.owned }));
  $("also").hidden = !also.checked && !tray.some((bead) => bead.tried && !names.has(bead.bead));
  const wanted = search.value.trim().toLowerCase();
  const all = [...used, ...rest];
  if (!wanted) return all;
  const note = new Map(tray.map((bead) => [bead.bead, bead.note ?? ""]));
  const begins = (entry) => entry.bead.toLowerCase().startsWith(wanted);
  const has = (entry) => `${entry.bead} ${note.get(entry.bead) ?? ""}`.toLowerCase().includes(wanted);
  return [...all.filter(begins), ...all.filter((entry) => !begins(entry) && has(entry))];
}

const MOST_SHOWN = 60;
// More are read in the list.
const MOST_SHORT = 3;

function show() {
  entries = collect().slice(0, MOST_SHOWN);
  if (active && !entries.some((entry) => entry.bead === active)) active = null;
  list.replaceChildren(...entries.map(item));
  search.setAttribute("aria-activedescendant", active ? optionId(active) : "");
  list.querySelector("[data-active]")?.scrollIntoView({ block: "nearest" });
  const { short, beads } = store.table.count;
  $("short").hidden = short.length === 0;
  text($("short"), short.length > MOST_SHORT ? `${short.length} beads are short, first in the list` : short.map(shortWords).join("; "));
  $("asked").hidden = !asked;
  if (asked) {
    $("asked").replaceChildren(
      `Which bead for ${asked.places.length === 1 ? where(asked.places[0]).toLowerCase() : count(asked.places.length, "peg")}? `,
      h("button", { className: "small", onclick: () => settleAsked(null) }, "None after all"),
    );
  }
  $("tray").classList.toggle("asking", !!asked);
  list.setAttribute("aria-label", `Beads of your tray, ${beads} in the figure`);
  if (!entries.length) list.append(h("li", { className: "hint", role: "option", "aria-disabled": "true", "aria-selected": "false" }, "No bead of the tray is called so."));
  ofBead();
}

const optionId = (name) => `bead-${[...name].map((letter) => letter.codePointAt(0).toString(36)).join("-")}`;

function item(entry) {
  const row = h("li", { id: optionId(entry.bead), role: "option", className: entry.short > 0 ? "bead-item short" : "bead-item", data: { bead: entry.bead } },
    swatch(entry.bead), h("span", { className: "bead-name" }, entry.bead),
    h("span", { className: "owned" }, entry.tried ? h("span", { "aria-hidden": "true" }, "◌ ") : null, ownedWords(entry)));
  row.setAttribute("aria-selected", String(entry.bead === store.hand));
  if (entry.bead === active) row.dataset.active = "";
  return row;
}

function ofBead() {
  const name = active ?? store.hand;
  const entry = name && entries.find((other) => other.bead === name);
  $("of-bead").hidden = !entry || !!asked;
  if (!entry) return;
  const places = placesOf(name);
  const pointing = places.length > 0 && places.every((place) => store.pointed.has(place));
  const had = $("of-bead").contains(document.activeElement) ? document.activeElement.dataset.does : null;
  $("of-bead").replaceChildren(
    h("button", { className: "small", data: { does: "where" }, disabled: !places.length, "aria-pressed": String(pointing), onclick: () => pointOut(pointing ? [] : places, name) }, `Where is ${name}?`),
    h("button", { className: "small", data: { does: "swap" }, disabled: !places.length, onclick: () => openSwap(name) }, `Swap ${name}…`),
  );
  if (had) $("of-bead").querySelector(`[data-does=${had}]`)?.focus();
}

function placesOf(name) {
  const places = [];
  for (let row = 0; row < store.table.rows; row += 1) {
    for (let column = 0; column < store.table.columns; column += 1) if (beadAt(row, column) === name) places.push(key(row, column));
  }
  return places;
}

/** Points beads out on the figure until something else is pointed out. */
export function pointOut(places, name) {
  store.pointed = new Set(places);
  tellAll("pointed");
  if (places.length) say(`${count(places.length, "bead")}${name ? ` of ${name}` : ""} pointed out.`);
}
