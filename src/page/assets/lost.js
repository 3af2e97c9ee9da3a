// A figure whose picture was not found: another of the folder is named, as a step like any other.
import { $, h } from "./dom.js";
import { store, watch, change } from "./store.js";
import * as line from "./line.js";

export function start() {
  const choice = h("select", { id: "picture-of" });
  const form = h("form", { hidden: true, onsubmit: (event) => {
    event.preventDefault();
    change(line.reference(choice.value), `${choice.value} is its picture.`);
  } },
  h("label", { htmlFor: "picture-of" }, "Its picture in this folder"),
  h("div", { className: "more" }, choice, h("button", { type: "submit", className: "small" }, "Use it")));
  $("reference-hint").after(form);
  let known = "";
  watch((_, topics) => {
    if (!topics.has("table")) return;
    const { pictures, reference } = store.table;
    form.hidden = !!reference || !pictures.length;
    if (`${pictures}` === known) return;
    known = `${pictures}`;
    choice.replaceChildren(...pictures.map((picture) => h("option", {}, picture)));
  });
}
