// What the checks found, each leading to its beads.
import { $, h, dialog, field, form } from "./dom.js";
import { store, watch, go, change, key } from "./store.js";
import { meant } from "./line.js";
import { count, shortWords } from "./words.js";
import { pointOut } from "./tray.js";
import { focusPeg } from "./board.js";

export function start() {
  watch((_, topics) => {
    if (topics.has("table")) show();
  });
}

function show() {
  const open = store.table.findings.filter((finding) => !finding.meant);
  const settled = store.table.findings.filter((finding) => finding.meant);
  const words = open.length ? count(open.length, "finding") : "Nothing found: it holds, can be made, and is seen.";
  const body = $("findings-body");
  body.dataset.words = words;
  const had = body.contains(document.activeElement);
  body.replaceChildren(
    h("p", { className: "hint" }, words),
    h("ul", { className: "findings" }, open.map(item)),
    settled.length
      ? h("details", {}, h("summary", {}, `${count(settled.length, "finding")} you mean so`), h("ul", { className: "findings" }, settled.map(item)))
      : "",
  );
  if (had) body.querySelector("button")?.focus();
  notes(open);
}

function item(finding) {
  const places = finding.beads.map(([row, column]) => ({ row, column }));
  return h("li", {},
    h("p", {}, h("span", { className: "sign", "aria-hidden": "true" }, finding.meant ? "✓" : "▲"), " ", finding.what),
    h("p", { className: "hint" }, finding.meant ? `You say: ${finding.why}` : finding.could),
    h("div", { className: "more" },
      places.length ? h("button", { className: "small", onclick: () => lead(places) }, "Show me") : null,
      finding.meant ? null : h("button", { className: "small", onclick: () => askWhy(finding, places[0]) }, "I mean it so…")),
  );
}

function lead(places) {
  pointOut(places.map(({ row, column }) => key(row, column)));
  go(places[0].row, places[0].column);
  focusPeg();
  $("beads").scrollIntoView({ block: "nearest" });
}

function askWhy(finding, place) {
  const why = h("input", { id: "why", type: "text", autofocus: true, required: true, autocomplete: "off" });
  dialog("You mean it so", (close) => [
    h("p", {}, finding.what),
    form(close, "Note it", () => !!why.value.trim() && change(meant(finding.rule, place, why.value.trim()), "Noted in the figure."),
      field("Why, in a word or two", why),
      h("p", { className: "hint" }, "It is noted in the figure’s file, and checks keep still about it.")),
  ]);
}

/** In the page's head: what waits below. */
function notes(open) {
  const short = store.table.count.short;
  const link = (words, target) => h("button", { className: "note", onclick: () => {
    $(target).scrollIntoView({ block: "start" });
    $(target).querySelector("button, input")?.focus({ preventScroll: true });
  } }, h("span", { "aria-hidden": "true" }, "▲ "), words);
  $("notes").replaceChildren(
    ...(short.length ? [link(short.length === 1 ? shortWords(short[0]).split(":")[0] : `${short.length} beads are short`, "tray")] : []),
    ...(open.length ? [link(count(open.length, "finding"), "findings")] : []),
  );
}
