// The figures of a folder, and how far each is.
import { $, h } from "./dom.js";
import { get } from "./wire.js";
import { count } from "./words.js";

/** Shows the shelf; `open(file)` is called with the figure taken down. */
export async function showShelf(folder, open) {
  const { figures } = await get("/api/shelf");
  $("shelf").replaceChildren(
    h("h2", {}, figures.length ? `${count(figures.length, "figure")} on this shelf` : "This shelf is empty"),
    figures.length ? "" : h("p", {}, "Draft one from a picture: smallcast draft anna.jpg --save anna.figure.toml"),
    h("ul", { className: "figures" }, figures.map((figure) => item(figure, open))),
  );
}

function item(figure, open) {
  const picture = figure.picture_png_base64 ? h("img", { alt: "", src: URL.createObjectURL(toBlob(figure.picture_png_base64)), onload: ({ target }) => URL.revokeObjectURL(target.src) }) : null;
  const all = figure.doubts + figure.settled;
  const state = figure.doubts ? `${count(figure.doubts, "doubt")} left` : "settled";
  return h("li", {},
    h("button", { type: "button", className: "figure-card", onclick: () => open(figure.file) },
      h("span", { className: "figure-picture" }, picture),
      h("span", { className: "figure-name" }, figure.name),
      h("span", { className: "hint" }, `${figure.rows} rows, ${figure.columns} columns`),
      h("progress", { max: Math.max(1, all), value: all ? figure.settled : 1, "aria-label": `Doubts settled in ${figure.name}` }),
      h("span", { className: "figure-state" }, state, figure.findings ? ` · ▲ ${count(figure.findings, "finding")}` : "")),
  );
}

function toBlob(base64) {
  const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  return new Blob([bytes], { type: "image/png" });
}
