// The figures of a folder, and how far each is.
import { $, dialog, field, h, text } from "./dom.js";
import { drawRows, sizeCanvas } from "./draw.js";
import { get, getBlob, tell } from "./wire.js";
import { count } from "./words.js";
import { download } from "./outputs.js";

/** Shows the shelf; `go.figure(file)` and `go.picture(file)` are called with what is taken down. */
export async function showShelf(classes, go) {
  const { figures, pictures } = await get("/api/shelf");
  const read = figures.filter((figure) => !figure.why);
  const stand = h("section", { className: "lineup", hidden: true, "aria-label": "Line-up" });
  const button = (words, onclick, more = {}) => h("button", { ...more, onclick }, words);
  $("shelf").replaceChildren(
    h("div", { className: "shelf-head" },
      h("h2", {}, figures.length ? `${count(figures.length, "figure")} on this shelf` : "No figure yet: draft the first from a picture"),
      pictures.length ? button("From a picture…", () => askPicture(pictures, go)) : null,
      read.length ? button("From an older figure…", () => askNew(read, classes, go)) : null,
      read.length ? button("Line-up", (event) => lineUp(stand, event.currentTarget), { "aria-pressed": "false", id: "lineup" }) : null),
    stand,
    h("ul", { className: "figures" }, figures.map((figure) => item(figure, go.figure))),
  );
}

/** The cast on one ground line, from the tallest to the smallest or group by group, and those too alike joined. */
async function lineUp(stand, pressed) {
  stand.hidden = !stand.hidden;
  pressed.setAttribute("aria-pressed", String(!stand.hidden));
  if (stand.hidden) return;
  const picture = h("img", { alt: "Every figure of the folder on one ground line, to one scale, beside the guide" });
  const told = h("p", { className: "hint", "aria-live": "polite" }, "Standing them up…");
  const save = h("button", { type: "button", className: "small", onclick: () => saveAs("/api/lineup", "lineup.pdf", told) }, "Save the line-up (PDF)");
  stand.replaceChildren(h("div", { className: "lineup-frame", tabIndex: 0, role: "group", "aria-label": "Line-up, to be scrolled" }, picture), save, told);
  try {
    picture.src = URL.createObjectURL(await getBlob("/api/lineup/picture"));
    await picture.decode();
    URL.revokeObjectURL(picture.src);
    text(told, "");
  } catch (trouble) {
    text(told, trouble.words ?? `${trouble}`);
  }
}

async function saveAs(path, name, told) {
  try {
    download(await getBlob(path), name);
    text(told, `${name} is where your browser keeps what you save.`);
  } catch (trouble) {
    text(told, trouble.words);
  }
}

function askPicture(pictures, go) {
  dialog("A new figure from a picture", (close) => [
    h("ul", { className: "pictures" }, pictures.map((name) => h("li", {}, h("button", { type: "button", onclick: () => {
      close();
      go.picture(name);
    } }, name)))),
    h("div", { className: "dialog-end" }, h("button", { type: "button", onclick: close }, "Leave it")),
  ]);
}

/** A figure's file by its name: letters and digits, the rest hyphens. */
const fileOf = (name) => `${name.trim().toLowerCase().normalize("NFKD").replace(/\p{M}/gu, "").replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "")}.figure.toml`;

function askNew(figures, classes, go) {
  const from = h("select", { id: "new-from" }, figures.map((figure) => h("option", { value: figure.file }, figure.name)));
  const name = h("input", { id: "new-name", type: "text", autocomplete: "off", required: true, autofocus: true });
  const tall = h("select", { id: "new-class" }, h("option", { value: "" }, "as the older one"), classes.map((one) => h("option", { value: one }, one.replace(/-/g, " "))));
  const may = h("input", { id: "rows-may-go", type: "checkbox" });
  const told = h("p", { className: "warning", role: "alert", hidden: true });
  dialog("A new figure from an older one", (close) => [
    h("form", { method: "dialog", onsubmit: async (event) => {
      event.preventDefault();
      try {
        const { file } = await tell("/api/new", { from: from.value, save: fileOf(name.value), name: name.value.trim(), class: tall.value || undefined, rows_may_go: may.checked });
        close();
        go.figure(file);
      } catch (trouble) {
        told.hidden = false;
        text(told, trouble.words);
      }
    } },
      field("Begin with", from), field("It is called", name), field("How tall", tall),
      h("p", { className: "tick" }, may, h("label", { htmlFor: "rows-may-go" }, "Rows may go with beads placed by hand")), told,
      h("div", { className: "dialog-end" }, h("button", { type: "button", onclick: close }, "Leave it"), h("button", { type: "submit", className: "primary" }, "Make it"))),
  ]);
}

// CSS pixels: what a card has room for.
const HIGH = 184;
const WIDE = 200;

function item(figure, open) {
  if (figure.why) return h("li", { className: "figure-card" }, h("span", { className: "figure-name" }, figure.file), h("span", { className: "warning" }, figure.why));
  const all = figure.doubts + figure.settled;
  const state = figure.doubts ? `${count(figure.doubts, "doubt")} left` : "settled";
  return h("li", {},
    h("button", { className: "figure-card", onclick: () => open(figure.file) },
      h("span", { className: "figure-picture" }, picture(figure)),
      h("span", { className: "figure-name" }, figure.name),
      h("span", { className: "hint" }, `${figure.class ? `${figure.class.replace(/-/g, " ")}, ` : ""}${figure.rows} rows, ${figure.columns} columns`),
      h("progress", { max: Math.max(1, all), value: all ? figure.settled : 1, "aria-label": `Doubts settled in ${figure.name}` }),
      h("span", { className: "figure-state" }, state, figure.findings ? ` · ▲ ${count(figure.findings, "finding")}` : "", figure.short ? ` · ▲ ${count(figure.short, "bead")} short` : "")),
  );
}

/** All to one scale would make a child a speck: each fills its card. */
function picture({ look, colours, rows, columns }) {
  const canvas = h("canvas", { "aria-hidden": "true" });
  const cell = Math.min(HIGH / Math.max(1, rows), WIDE / Math.max(1, columns));
  canvas.style.width = `${cell * columns}px`;
  canvas.style.height = `${cell * rows}px`;
  const beads = look.map((row) => [...row].map((mark) => (colours[mark] ? `#${colours[mark]}` : null)));
  drawRows(sizeCanvas(canvas, cell * columns, cell * rows), beads, cell, { hole: false });
  return canvas;
}
