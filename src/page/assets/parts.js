// The parts of a figure.
import { $, h, dialog, field, form, kbd, line as typed, press, more, hint, box, redraw, say } from "./dom.js";
import { store, on, change, tellAll, hasBead, partNow } from "./store.js";
import { count } from "./words.js";
import { line, plain } from "./line.js";
import { askTake } from "./taking.js";

const WAYS = { left: "←", up: "↑", down: "↓", right: "→" };

export const start = () => on("table parts", show);

// Whose changes are unfolded.
let unfolded = null;

// What is laid goes into an open part; undefined closes it.
export function openPart(name) {
  const was = store.part;
  store.part = name;
  store.hidden.delete(name);
  tellAll("parts");
  if (name !== was) say(name ? `${name} is open: what you lay goes into it. Escape closes it.` : `${was} is closed.`);
}

function show() {
  const { parts } = store.table;
  if (!parts.some((part) => part.name === unfolded)) unfolded = parts.length === 1 ? parts[0].name : null;
  redraw($("parts-body"),
    hint(parts.length > 1 ? "The first lies on top. What you lay goes into the one that is open; hiding is for looking only." : "A hat, a lamp or a cape can be parts of their own: choose their beads first."),
    h("ul", { className: "parts" }, parts.map(item).reverse()),
    more(press("new", "New part…", () => partOf(store.chosen)), press("take", "From another figure…", askTake)));
  // In words over the board: which part is open.
  const name = store.part;
  $("open-part").hidden = !name;
  if (!name) return;
  const above = partNow() < parts.length - 1 ? " Parts over it may hide them." : "";
  $("open-part").replaceChildren(h("span", { className: "held" }, h("b", {}, name), ` is open: beads you lay go into it.${above}`), press("close", "Close it ", () => openPart(undefined), kbd("Esc")));
}

const beadsOf = (part) => [...part.beads.join("")].filter((mark) => mark !== ".").length;

function item(part, at, parts) {
  const { name } = part;
  const does = (what) => `${what} ${name}`;
  const isOpen = store.part === name;
  const shown = box(`part-${at}`, { checked: !store.hidden.has(name), data: { does: does("shown") }, onchange: () => {
    if (shown.checked) store.hidden.delete(name);
    else store.hidden.add(name);
    if (isOpen && !shown.checked) openPart(undefined);
    else tellAll("parts");
  } });
  const make = (what, words, made, sign = words, disabled = false) =>
    h("button", { className: "small", "aria-label": does(words), disabled, data: { does: does(what) }, onclick: () => change(made, `${name}: ${words.toLowerCase()}.`) }, sign);
  const open = press(does("open"), "Lay in it", () => openPart(isOpen ? undefined : name));
  open.setAttribute("aria-label", `Lay in it: ${name}`);
  open.setAttribute("aria-pressed", `${isOpen}`);
  const many = parts.length > 1;
  return h("li", {},
    h("div", { className: "tick" }, shown, h("label", { htmlFor: shown.id }, name, " ", h("span", { className: "hint" }, `${count(beadsOf(part), "bead")}${part.from ? `, from ${part.from}` : ""}`)), open),
    h("details", { open: unfolded === name, ontoggle: ({ target }) => {
      if (target.open) unfolded = name;
      else if (unfolded === name) unfolded = null;
    } },
    h("summary", { data: { does: does("change") } }, `Change ${name}`),
    more(Object.entries(WAYS).map(([way, sign]) => make(`move ${way}`, `Move ${way}`, line`shift ${name} ${plain(way)} 1`, sign))),
    more(
      make("mirror", "Mirror", line`mirror ${name}`),
      many ? make("over", "Lay over", line`over ${name}`, "Over", at === parts.length - 1) : null,
      many ? make("under", "Lay under", line`under ${name}`, "Under", at === 0) : null,
      press(does("call"), "Rename…", () => askName("Another name", name, "Rename", (words) => call(name, words))),
      many ? make("remove", "Remove", line`remove ${name}`) : null)));
}

async function call(name, words) {
  const wasOpen = store.part === name;
  if (words === name || !(await change(line`call ${name} ${words}`, `${name} is ${words} now.`))) return;
  unfolded = words;
  if (wasOpen) openPart(words);
  else tellAll("parts");
}

export function partOf(places = []) {
  const beads = places.filter(hasBead);
  askName(beads.length ? `A part of ${count(beads.length, "bead")}` : "A new part", "", "Make it", async (name) => {
    if (await change(line`part ${name}${plain(beads.length ? line` of ${beads}` : "")}`, `New part ${name}.`)) openPart(name);
  });
}

function askName(title, was, words, then) {
  const name = typed("part-name", { value: was, autofocus: true, required: true, onfocus: () => name.select() });
  const taken = hint();
  dialog(title, (close) => [form(close, words, () => {
    const called = name.value.trim();
    const isTaken = called !== was && store.table.parts.some((part) => part.name === called);
    taken.textContent = isTaken ? `There is already a part ${called}.` : "";
    if (called && !isTaken) then(called);
    return !!called && !isTaken;
  }, taken, field("What is it? A hat, a lamp…", name))]);
}
