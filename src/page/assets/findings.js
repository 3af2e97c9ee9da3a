// What the checks found, each leading to its beads.
import { $, h, dialog, field, form, hint, line as typed, more, press, redraw } from "./dom.js";
import { store, on, go, change, keyOf } from "./store.js";
import { line, plain } from "./line.js";
import { count, shortWords } from "./words.js";
import { pointOut } from "./tray.js";
import { focusPeg } from "./board.js";

export const start = () => on("table", show);

function show() {
  const { findings, count: counted } = store.table;
  const open = findings.filter((finding) => !finding.meant);
  const settled = findings.filter((finding) => finding.meant);
  const words = open.length ? count(open.length, "finding") : "Nothing found: it holds, can be made, and is seen.";
  const list = (some) => h("ul", { className: "findings" }, some.map(item));
  $("findings-body").dataset.words = words;
  redraw($("findings-body"), hint(words), list(open), settled.length ? h("details", {}, h("summary", {}, `${count(settled.length, "finding")} you mean so`), list(settled)) : "");
  // In the page's head: what waits below.
  const link = (told, target) => h("button", { className: "note", onclick: () => {
    $(target).scrollIntoView({ block: "start" });
    $(target).querySelector("button, input")?.focus({ preventScroll: true });
  } }, h("span", { "aria-hidden": "true" }, "▲ "), told);
  const { short } = counted;
  $("notes").replaceChildren(
    short.length ? link(short.length === 1 ? shortWords(short[0]).split(":")[0] : `${short.length} beads are short`, "tray") : "",
    open.length ? link(count(open.length, "finding"), "findings") : "");
}

function item(finding) {
  const places = finding.beads.map(([row, column]) => ({ row, column }));
  return h("li", {},
    h("p", {}, h("span", { className: "sign", "aria-hidden": "true" }, finding.meant ? "✓" : "▲"), " ", finding.what),
    hint(finding.meant ? `You say: ${finding.why}` : finding.could),
    more(
      places.length ? press("show", "Show me", () => {
        pointOut(places.map(keyOf));
        go(places[0]);
        focusPeg();
        $("beads").scrollIntoView({ block: "nearest" });
      }) : null,
      finding.meant ? null : press("meant", "I mean it so…", () => askWhy(finding, places[0]))));
}

function askWhy({ rule, what }, place) {
  const why = typed("why", { autofocus: true, required: true });
  dialog("You mean it so", (close) => [
    h("p", {}, what),
    form(close, "Note it", () => {
      const words = why.value.trim();
      if (words) change(line`meant ${rule}${plain(place ? line` ${place}` : "")} ${words}`, "Noted in the figure.");
      return !!words;
    }, field("Why, in a word or two", why), hint("It is noted in the figure’s file, and checks will skip it.")),
  ]);
}
