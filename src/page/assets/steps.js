// Undo, redo and the steps so far; whether all is on disk.
import { $, h, text, say } from "./dom.js";
import { store, watch, undo, redo, isBusy } from "./store.js";
import { stepWords } from "./words.js";

export function start() {
  $("undo").addEventListener("click", back);
  $("redo").addEventListener("click", forth);
  watch((_, topics) => {
    if (topics.has("saving")) saved();
    if (topics.has("trouble")) trouble();
    if (topics.has("table")) show();
  });
}

export async function back() {
  const line = store.table.undo;
  if (line === null) say("Nothing to undo.");
  else if (await undo()) say(`Undone: ${stepWords(line)}.`);
}

export async function forth() {
  const line = store.table.redo;
  if (line === null) say("Nothing to do again.");
  else if (await redo()) say(`Done again: ${stepWords(line)}.`);
}

function show() {
  const { table } = store;
  $("steps").hidden = false;
  label($("undo"), "Undo", table.undo);
  label($("redo"), "Redo", table.redo);
  const lines = [...table.history].reverse();
  $("past-body").replaceChildren(
    lines.length
      ? h("ol", { className: "past", tabIndex: 0, role: "list", "aria-label": "Steps, the last first" }, lines.map((line) => h("li", { title: line }, stepWords(line))))
      : h("p", { className: "hint" }, "None yet. Each step is on disk as soon as it is made, and can be undone tomorrow."),
  );
}

// A button that has nothing to do stays where the keyboard found it, and says so.
function label(button, verb, line) {
  button.setAttribute("aria-disabled", String(line === null));
  button.setAttribute("aria-label", line === null ? `${verb}: nothing` : `${verb}: ${stepWords(line)}`);
  button.title = line === null ? "" : stepWords(line);
}

function saved() {
  text($("saved"), isBusy() ? "Saving" : store.trouble ? "Not saved" : "Saved");
}

function trouble() {
  const { trouble: what } = store;
  $("trouble").hidden = !what;
  if (what) text($("trouble"), `${what.message} ${what.hint ?? ""}`);
  saved();
}
