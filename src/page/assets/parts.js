// The parts of a figure: open to lay beads in, shown or hidden, named, moved, mirrored, over or under one another, made
// of what is chosen, or from another figure.
import { $, h, dialog, field, form, kbd, say } from "./dom.js";
import { store, watch, change, tellAll, cellAt, partNow } from "./store.js";
import { count } from "./words.js";
import * as line from "./line.js";
import { askTake } from "./taking.js";

const WAYS = [["left", "←"], ["up", "↑"], ["down", "↓"], ["right", "→"]];

export function start() {
  watch((_, topics) => {
    if (topics.has("table") || topics.has("parts")) show();
  });
}

/** Whose changes are unfolded. */
let unfolded = null;

/** Opens a part: what is laid goes into it. Undefined closes it. */
export function openPart(name) {
  const was = store.part;
  store.part = name;
  store.hidden.delete(name);
  tellAll("parts");
  if (name !== was) say(name ? `${name} is open: what you lay goes into it. Escape closes it.` : `${was} is closed.`);
}

function show() {
  const body = $("parts-body");
  const held = body.contains(document.activeElement) ? document.activeElement.dataset.does : null;
  const { parts } = store.table;
  if (!parts.some((part) => part.name === unfolded)) unfolded = parts.length === 1 ? parts[0].name : null;
  body.replaceChildren(
    h("p", { className: "hint" }, parts.length > 1 ? "The first lies on top. What you lay goes into the one that is open; hiding is for looking only." : "One part. A hat, a lamp or a cape can be parts of their own: choose their beads first."),
    h("ul", { className: "parts" }, parts.map((part, at) => item(part, at)).reverse()),
    h("div", { className: "more" },
      press("new", "New part…", () => partOf(store.chosen)),
      press("take", "From another figure…", askTake)),
  );
  if (held) (body.querySelector(`[data-does="${CSS.escape(held)}"]:not(:disabled)`) ?? body.querySelector("button"))?.focus();
  overBoard();
}

/** In words over the board: which part is open. */
function overBoard() {
  const name = store.part;
  $("open-part").hidden = !name;
  if (!name) return;
  const above = partNow() < store.table.parts.length - 1 ? " Parts over it may hide them." : "";
  $("open-part").replaceChildren(
    h("span", { className: "held" }, h("b", {}, name), ` is open: beads you lay go into it.${above}`),
    press("close", "Close it", () => openPart(undefined), kbd("Esc")),
  );
}

const press = (does, words, onclick, ...more) => h("button", { className: "small", data: { does }, onclick }, more.length ? `${words} ` : words, ...more);

const beadsOf = (part) => part.beads.reduce((sum, row) => sum + [...row].filter((mark) => mark !== ".").length, 0);

function item(part, at) {
  const { name } = part;
  const { parts } = store.table;
  const id = `part-${at}`;
  const does = (what) => `${what} ${name}`;
  const isOpen = store.part === name;
  const shown = h("input", { type: "checkbox", id, checked: !store.hidden.has(name), data: { does: does("shown") }, onchange: (event) => {
    if (event.target.checked) store.hidden.delete(name);
    else store.hidden.add(name);
    if (isOpen && !event.target.checked) openPart(undefined);
    else tellAll("parts");
  } });
  const make = (what, words, made, disabled = false, sign = words) =>
    h("button", { className: "small", "aria-label": `${words} ${name}`, disabled, data: { does: does(what) }, onclick: () => change(made, `${name}: ${words.toLowerCase()}.`) }, sign);
  const open = h("button", { className: "small", "aria-label": `Lay in it: ${name}`, "aria-pressed": String(isOpen), data: { does: does("open") }, onclick: () => openPart(isOpen ? undefined : name) }, "Lay in it");
  const many = parts.length > 1;
  const details = h("details", { open: unfolded === name, ontoggle: (event) => {
    if (event.target.open) unfolded = name;
    else if (unfolded === name) unfolded = null;
  } },
    h("summary", { data: { does: does("change") } }, `Change ${name}`),
    h("div", { className: "more" }, WAYS.map(([way, sign]) => make(`move ${way}`, `Move ${way}`, line.shift(name, way, 1), false, sign))),
    h("div", { className: "more" },
      make("mirror", "Mirror", line.mirror(name)),
      many ? make("over", "Lay over", line.over(name), at === parts.length - 1, "Over") : null,
      many ? make("under", "Lay under", line.under(name), at === 0, "Under") : null,
      press(does("call"), "Rename…", () => askName("Another name", name, "Call it so", (words) => call(name, words))),
      many ? make("remove", "Remove", line.remove(name)) : null),
  );
  const hint = `${count(beadsOf(part), "bead")}${part.from ? `, from ${part.from}` : ""}`;
  return h("li", {},
    h("div", { className: "tick" }, shown, h("label", { htmlFor: id }, name, " ", h("span", { className: "hint" }, hint)), open),
    details,
  );
}

async function call(name, words) {
  const wasOpen = store.part === name;
  if (words === name || !(await change(line.call(name, words), `${name} is ${words} now.`))) return;
  unfolded = words;
  if (wasOpen) openPart(words);
  else tellAll("parts");
}

/** Makes a part of what shows at some places, or an empty one, and opens it. */
export function partOf(places = []) {
  const beads = places.filter(({ row, column }) => cellAt(row, column));
  const title = beads.length ? `A part of ${count(beads.length, "bead")}` : "A new part";
  askName(title, "", "Make it", async (name) => {
    if (await change(line.newPart(name, beads.length ? beads : undefined), `New part ${name}.`)) openPart(name);
  });
}

function askName(title, was, words, then) {
  const name = h("input", { id: "part-name", type: "text", value: was, autofocus: true, required: true, autocomplete: "off" });
  dialog(title, (close) => [
    form(close, words, () => !!name.value.trim() && then(name.value.trim()), field("What is it? A hat, a lamp…", name)),
  ]);
}
