// The figures of a folder, how far each is, and how new ones begin.
import { $, box, dialog, end, field, form, h, line, pick, text, tick } from "./dom.js";
import { coloured, drawFigure } from "./draw.js";
import { get, getBlob, tell, wordsOf } from "./wire.js";
import { count, spaced } from "./words.js";
import { keep } from "./outputs.js";

export const heights = (classes) => classes.map(({ name, rows }) => [name, `${spaced(name)}, ${rows} rows`]);

// `go.figure(file)` and `go.picture(file)` are called with what is taken down.
export async function showShelf(classes, go) {
  const { figures, pictures } = await get("/api/shelf");
  const read = figures.filter((figure) => !figure.why);
  const stand = h("section", { className: "lineup", hidden: true, "aria-label": "Line-up" });
  const button = (is, words, onclick, properties) => (is ? h("button", { ...properties, onclick }, words) : null);
  $("shelf").replaceChildren(
    h("div", { className: "shelf-head" },
      h("h2", {}, figures.length ? `${count(figures.length, "figure")} on this shelf` : "No figure yet: draft the first from a picture"),
      button(pictures.length, "From a picture…", () => askPicture(pictures, go)),
      button(read.length, "From an older figure…", () => askNew(read, classes, go)),
      button(read.length, "Line-up", (event) => lineUp(stand, event.currentTarget), { "aria-pressed": "false", id: "lineup" })),
    stand,
    h("ul", { className: "figures" }, figures.map((figure) => item(figure, go.figure))),
  );
}

// The cast on one ground line, those too alike joined.
async function lineUp(stand, pressed) {
  stand.hidden = !stand.hidden;
  pressed.setAttribute("aria-pressed", `${!stand.hidden}`);
  if (stand.hidden) return;
  const picture = h("img", { alt: "Every figure of the folder on one ground line, to one scale, beside the guide" });
  const told = h("p", { className: "hint", "aria-live": "polite" }, "Lining them up…");
  const save = h("button", { className: "small", onclick: () => keep(told, () => getBlob("/api/lineup"), "lineup.pdf") }, "Save the line-up (PDF)");
  stand.replaceChildren(h("div", { className: "lineup-frame", tabIndex: 0, role: "group", "aria-label": "Line-up, to be scrolled" }, picture), save, told);
  try {
    await showBlob(picture, await getBlob("/api/lineup/picture"));
    text(told, "");
  } catch (trouble) {
    text(told, wordsOf(trouble));
  }
}

export async function showBlob(image, blob) {
  image.src = URL.createObjectURL(blob);
  await image.decode();
  URL.revokeObjectURL(image.src);
}

function askPicture(pictures, go) {
  const images = pictures.map(() => h("img", { alt: "" }));
  const asked = dialog("A new figure from a picture", (close) => [
    h("ul", { className: "pictures" }, pictures.map((name, at) => h("li", {}, h("button", { onclick: () => {
      close();
      go.picture(name);
    } }, images[at], name)))),
    end(h("button", { onclick: close }, "Cancel")),
  ], { className: "wide" });
  // One after the other while somebody looks; what cannot be read stays a name.
  (async () => {
    for (const [at, name] of pictures.entries()) {
      if (!asked.open) return;
      await getBlob("/api/picture/small", name).then((blob) => showBlob(images[at], blob)).catch(() => images[at].remove());
    }
  })();
}

// A figure's file by its name: letters and digits, the rest hyphens.
const fileOf = (name) => `${name.trim().toLowerCase().normalize("NFKD").replace(/\p{M}/gu, "").replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "")}.figure.toml`;

function askNew(figures, classes, go) {
  const from = pick("new-from", figures.map((figure) => [figure.file, figure.name]), { onchange: ask });
  const name = line("new-name", { required: true, autofocus: true });
  const tall = pick("new-class", [["", "as the older one"], ...heights(classes)], { onchange: ask });
  const may = box("rows-may-go");
  const mayGo = tick(may, "Rows with beads placed by hand may go");
  const told = h("p", { className: "warning", role: "alert", hidden: true });
  // Rows go only from one that is taller.
  function ask() {
    const rows = classes.find((one) => one.name === tall.value)?.rows;
    mayGo.hidden = !(rows < figures.find((figure) => figure.file === from.value).rows);
    if (mayGo.hidden) may.checked = false;
  }
  ask();
  dialog("A new figure from an older one", (close) => [form(close, "Make it", async () => {
    try {
      const { file } = await tell("/api/new", { from: from.value, save: fileOf(name.value), name: name.value.trim(), class: tall.value || undefined, rows_may_go: may.checked });
      go.figure(file);
    } catch (trouble) {
      told.hidden = false;
      text(told, wordsOf(trouble));
      return false;
    }
  }, field("Begin with", from), field("It is called", name), field("How tall", tall), mayGo, told)]);
}

// CSS pixels: what a card has room for.
const ROOM = [200, 184];

function item(figure, open) {
  if (figure.why) return h("li", { className: "figure-card" }, h("span", { className: "figure-name" }, figure.file), h("span", { className: "warning" }, figure.why));
  const all = figure.doubts + figure.settled;
  const canvas = h("canvas", { "aria-hidden": "true" });
  // All to one scale would make a child a speck: each fills its card.
  drawFigure(canvas, coloured(figure.look, figure.colours), figure.columns, ROOM, { hole: false });
  return h("li", {}, h("button", { className: "figure-card", onclick: () => open(figure.file) },
    h("span", { className: "figure-picture" }, canvas),
    h("span", { className: "figure-name" }, figure.name),
    h("span", { className: "hint" }, `${figure.class ? `${spaced(figure.class)}, ` : ""}${figure.rows} rows, ${figure.columns} columns`),
    h("progress", { max: Math.max(1, all), value: all ? figure.settled : 1, "aria-label": `Doubts settled in ${figure.name}` }),
    h("span", { className: "small-words" }, figure.doubts ? `${count(figure.doubts, "doubt")} left` : "settled", figure.findings ? ` · ▲ ${count(figure.findings, "finding")}` : "", figure.short ? ` · ▲ ${count(figure.short, "bead")} short` : "")));
}
