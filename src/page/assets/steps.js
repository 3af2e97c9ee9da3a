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
  const { history, undone } = table;
  const held = $("past-body").contains(document.activeElement);
  const later = undone.map((line, at) => step(stepWords(line), () => redo(at + 1), { className: "undone" }));
  const before = history.map((line, at) => step(stepWords(line), () => undo(history.length - at - 1), at === history.length - 1 ? NOW : {}));
  const first = step("Before these steps", () => undo(history.length), history.length ? {} : NOW);
  $("past-body").replaceChildren(
    later.length + before.length
      ? h("ol", { className: "past", "aria-label": "Steps, the last first. Press one to go there." }, later.reverse(), before.reverse(), first)
      : h("p", { className: "hint" }, "None yet. Each step is on disk as soon as it is made, and can be undone tomorrow."),
  );
  if (held) $("past-body").querySelector("[aria-current]")?.focus();
}

const NOW = { "aria-current": "step" };

/** A step to go to: the figure is then as it was just after it. */
function step(words, goes, as) {
  return h("li", {}, h("button", { ...as, onclick: as === NOW ? undefined : goes }, words));
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
  if (what) text($("trouble"), what.words);
  saved();
}
