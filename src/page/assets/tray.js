// The count against the tray; a bead found while typing, taken, shown, swapped.
import { $, h, text, say, press, box, tick, line, redraw } from "./dom.js";
import { store, on, tellAll, keyOf, beadAt, allPegs } from "./store.js";
import { count, lowerFirst, ownedWords, shortWords, where } from "./words.js";
import { lay, swatch } from "./doubts.js";
import { focusPeg } from "./board.js";
import { openSwap } from "./swap.js";

let search;
let list;
// Whether beads are listed too of which none is owned.
let also;
let active = null;
let entries = [];
let asked = null;

export function start() {
  list = h("ul", { id: "bead-list", role: "listbox", "aria-label": "Beads of your tray", onpointerdown: (event) => event.preventDefault(), onclick: (event) => {
    const name = event.target.closest("[role=option]")?.dataset.bead;
    if (name) choose(name);
  } });
  search = line("find-bead", {
    spellcheck: false, role: "combobox", placeholder: "Find a bead by name", "aria-label": "Find a bead by name", "aria-controls": "bead-list", "aria-expanded": "true", "aria-autocomplete": "list",
    oninput: () => look(search.value), onkeydown: keys,
  });
  also = box("to-try", { onchange: show });
  $("tray-body").append(
    h("p", { id: "asked", hidden: true }), search, h("p", { id: "short", className: "warning", hidden: true }), list,
    h("div", { id: "also", hidden: true }, tick(also, "Also beads you do not own, to try")), h("div", { id: "of-bead", className: "more", hidden: true }),
  );
  on("table way hand pointed", show);
  on("hand", hand);
}

function look(letters) {
  search.value = letters;
  active = null;
  show();
}

// The next bead chosen goes to the pegs of an answer.
export function askFor(target) {
  asked = target;
  look("");
  search.focus();
  $("tray").scrollIntoView({ block: "nearest" });
}

function settleAsked(name) {
  const target = asked;
  asked = null;
  look("");
  if (name) lay(name, target);
  focusPeg();
}

function choose(name) {
  if (asked) settleAsked(name);
  else take(store.hand === name ? null : name);
}

export function take(name) {
  store.hand = name;
  store.filling = false;
  active = name;
  tellAll("hand");
  say(name ? `${name} in your hand. Space lays it on a peg, Escape puts it back.` : "Hand empty.");
}

function hand() {
  const name = store.hand;
  $("beads").classList.toggle("holding", !!name);
  // The line stays where no bead is held, so that taking one does not push the board.
  redraw($("hand"), name ? [
    swatch(name), h("span", { className: "held" }, h("b", {}, name), " in your hand"),
    h("button", { className: "small", "aria-pressed": `${!!store.filling}`, data: { does: "filling" }, title: "With Shift for once", onclick: () => {
      store.filling = !store.filling;
      hand();
    } }, "Whole patch"),
    press("back", "Put it back", () => take(null)),
  ] : h("span", { className: "hint" }, "To lay beads, take one from your tray."));
}

function keys(event) {
  const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (by) {
    const at = entries.findIndex((entry) => entry.bead === active);
    active = entries[Math.min(Math.max(at + by, 0), entries.length - 1)]?.bead ?? null;
    show();
  } else if (event.key === "Enter") {
    const name = active ?? (search.value ? entries[0]?.bead : null);
    if (name) choose(name);
  } else if (event.key === "Escape") {
    if (search.value) look("");
    else settleAsked(null);
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
  const note = new Map(tray.map((bead) => [bead.bead, bead.note ?? ""]));
  // Beads whose name begins so come before those that have it elsewhere.
  const rank = ({ bead }) => (bead.toLowerCase().startsWith(wanted) ? 0 : `${bead} ${note.get(bead) ?? ""}`.toLowerCase().includes(wanted) ? 1 : 2);
  return [...used, ...rest].filter((entry) => rank(entry) < 2).sort((one, other) => rank(one) - rank(other));
}

const MOST_SHOWN = 60;
// More are read in the list.
const MOST_SHORT = 3;

function show() {
  entries = collect().slice(0, MOST_SHOWN);
  if (active && !entries.some((entry) => entry.bead === active)) active = null;
  list.replaceChildren(...(entries.length ? entries.map(item) : [h("li", { className: "hint", role: "option", "aria-disabled": "true", "aria-selected": "false" }, "No bead of the tray is called so.")]));
  search.setAttribute("aria-activedescendant", active ? optionId(active) : "");
  const now = list.querySelector("[data-active]");
  // The page stays under the hand.
  if (now) list.scrollTop = Math.min(now.offsetTop, Math.max(list.scrollTop, now.offsetTop + now.offsetHeight - list.clientHeight));
  const { short, beads } = store.table.count;
  $("short").hidden = short.length === 0;
  text($("short"), short.length > MOST_SHORT ? `${short.length} beads are short, first in the list` : short.map(shortWords).join("; "));
  $("asked").hidden = !asked;
  if (asked) $("asked").replaceChildren(`Which bead for ${asked.places.length === 1 ? lowerFirst(where(asked.places[0])) : count(asked.places.length, "peg")}? `, press("none", "None after all", () => settleAsked(null)));
  $("tray").classList.toggle("asking", !!asked);
  list.setAttribute("aria-label", `Beads of your tray, ${beads} in the figure`);
  ofBead();
}

const optionId = (name) => `bead-${[...name].map((letter) => letter.codePointAt(0).toString(36)).join("-")}`;

function item(entry) {
  const { bead } = entry;
  return h("li", { id: optionId(bead), role: "option", "aria-selected": `${bead === store.hand}`, className: entry.short > 0 ? "bead-item short" : "bead-item", data: { bead, ...(bead === active && { active: "" }) } },
    swatch(bead), h("span", { className: "bead-name" }, bead),
    h("span", { className: "owned" }, entry.tried ? h("span", { "aria-hidden": "true" }, "◌ ") : null, ownedWords(entry)));
}

function ofBead() {
  const name = active ?? store.hand;
  const entry = name && entries.find((other) => other.bead === name);
  $("of-bead").hidden = !entry || !!asked;
  if (!entry) return;
  const places = allPegs().filter((peg) => beadAt(peg) === name).map(keyOf);
  const pointing = places.length > 0 && places.every((place) => store.pointed.has(place));
  const find = press("where", `Where is ${name}?`, () => pointOut(pointing ? [] : places, name));
  find.setAttribute("aria-pressed", `${pointing}`);
  const swap = press("swap", `Swap ${name}…`, () => openSwap(name));
  find.disabled = swap.disabled = !places.length;
  redraw($("of-bead"), find, swap);
}

// Points beads out on the figure until something else is pointed out.
export function pointOut(places, name) {
  store.pointed = new Set(places);
  tellAll("pointed");
  if (places.length) say(`${count(places.length, "bead")}${name ? ` of ${name}` : ""} pointed out.`);
}
