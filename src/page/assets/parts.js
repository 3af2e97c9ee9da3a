// The parts of a figure: shown or hidden, moved, mirrored, over or under one another, new, or from another figure.
import { $, h, dialog, text } from "./dom.js";
import { store, watch, change, tellAll } from "./store.js";
import * as line from "./line.js";
import { get } from "./wire.js";

const WAYS = [["left", "←"], ["up", "↑"], ["down", "↓"], ["right", "→"]];

export function start() {
  watch((_, topics) => {
    if (topics.has("table") || topics.has("parts")) show();
  });
}

let open = null;

function show() {
  const body = $("parts-body");
  const held = body.contains(document.activeElement) ? document.activeElement.dataset.does : null;
  const parts = store.table.parts;
  if (!parts.some((part) => part.name === open)) open = parts.length === 1 ? parts[0].name : open;
  body.replaceChildren(
    h("p", { className: "hint" }, parts.length > 1 ? "The first lies on top. Hiding is for looking only." : "One part. A hat, a lamp or a cape can be parts of their own."),
    h("ul", { className: "parts" }, parts.map((part, at) => item(part, at)).reverse()),
    h("div", { className: "more" },
      h("button", { type: "button", className: "small", data: { does: "new" }, onclick: () => askNew() }, "New part…"),
      h("button", { type: "button", className: "small", data: { does: "take" }, onclick: askTake }, "From another figure…")),
  );
  if (held) (body.querySelector(`[data-does="${CSS.escape(held)}"]:not(:disabled)`) ?? body.querySelector("button"))?.focus();
}

function item(part, at) {
  const { name } = part;
  const parts = store.table.parts;
  const id = `part-${at}`;
  const does = (what) => ({ does: `${what} ${name}` });
  const shown = h("input", { type: "checkbox", id, checked: !store.hidden.has(name), data: does("shown"), onchange: (event) => {
    if (event.target.checked) store.hidden.delete(name);
    else store.hidden.add(name);
    tellAll("parts");
  } });
  const press = (what, words, sign, make, disabled = false) =>
    h("button", { type: "button", className: "small sign", "aria-label": `${words} ${name}`, title: words, disabled, data: does(what), onclick: () => change(make, `${name}: ${words.toLowerCase()}.`) }, sign);
  const details = h("details", { open: open === name, ontoggle: (event) => {
    if (event.target.open) open = name;
    else if (open === name) open = null;
  } },
    h("summary", { data: does("open") }, `Change ${name}`),
    h("div", { className: "more" }, WAYS.map(([way, sign]) => press(way, `Move ${way}`, sign, line.shift(name, way, 1)))),
    h("div", { className: "more" },
      h("button", { type: "button", className: "small", data: does("mirror"), onclick: () => change(line.mirror(name), `${name} mirrored.`) }, "Mirror"),
      parts.length > 1 ? press("over", "Lay over", "Over", line.over(name), at === parts.length - 1) : null,
      parts.length > 1 ? press("under", "Lay under", "Under", line.under(name), at === 0) : null,
      parts.length > 1 ? press("remove", "Remove", "Remove", line.remove(name)) : null),
  );
  return h("li", {},
    h("p", { className: "tick" }, shown, h("label", { htmlFor: id }, name, part.from ? h("span", { className: "hint" }, ` from ${part.from}`) : null)),
    details,
  );
}

/** Asks for the name of a new part, empty or of the beads at some places. */
export function askNew(places) {
  const name = h("input", { id: "part-name", type: "text", autofocus: true, required: true, autocomplete: "off" });
  dialog("A new part", (close) => [
    h("form", { method: "dialog", onsubmit: (event) => {
      event.preventDefault();
      const words = name.value.trim();
      if (!words) return;
      close();
      change(line.newPart(words, places), `New part ${words}.`);
    } },
      h("p", { className: "field" }, h("label", { htmlFor: "part-name" }, "What is it? A hat, a lamp…"), name),
      h("div", { className: "dialog-end" }, h("button", { type: "button", onclick: close }, "Leave it"), h("button", { type: "submit", className: "primary" }, "Make it"))),
  ]);
}

async function askTake() {
  let figures;
  try {
    figures = (await get("/api/shelf")).figures.filter((figure) => figure.file !== store.table.file);
  } catch (trouble) {
    store.trouble = trouble;
    tellAll("trouble");
    return;
  }
  const from = h("select", { id: "take-from" }, figures.map((figure) => h("option", { value: figure.file }, figure.name)));
  const part = h("select", { id: "take-part" });
  const name = h("input", { id: "take-name", type: "text", autocomplete: "off", required: true });
  const told = h("p", { className: "hint" });
  const fill = async () => {
    try {
      const { parts } = await get("/api/parts", from.value);
      part.replaceChildren(...parts.map((other) => h("option", { value: other.name }, other.name)));
      suggest();
    } catch (trouble) {
      text(told, trouble.message);
    }
  };
  const suggest = () => {
    const taken = new Set(store.table.parts.map((other) => other.name));
    let [words, number] = [part.value, 2];
    while (taken.has(words)) {
      words = `${part.value} ${number}`;
      number += 1;
    }
    name.value = words;
  };
  part.addEventListener("change", suggest);
  from.addEventListener("change", fill);
  dialog("A part of another figure", (close) => [
    figures.length
      ? h("form", { method: "dialog", onsubmit: (event) => {
        event.preventDefault();
        if (!part.value || !name.value.trim()) return;
        close();
        change(line.take(part.value, from.value, name.value.trim()), `${name.value} taken.`);
      } },
        h("p", { className: "field" }, h("label", { htmlFor: "take-from" }, "From"), from),
        h("p", { className: "field" }, h("label", { htmlFor: "take-part" }, "its part"), part),
        h("p", { className: "field" }, h("label", { htmlFor: "take-name" }, "called here"), name),
        told,
        h("div", { className: "dialog-end" }, h("button", { type: "button", onclick: close }, "Leave it"), h("button", { type: "submit", className: "primary" }, "Take it")))
      : h("div", {}, h("p", {}, "There is no other figure in this folder."), h("div", { className: "dialog-end" }, h("button", { type: "button", onclick: close }, "Close"))),
  ]);
  if (figures.length) fill();
}
