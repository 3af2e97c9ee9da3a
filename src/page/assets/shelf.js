// The figures of a folder, and how far each is.
import { $, h } from "./dom.js";
import { drawRows, sizeCanvas } from "./draw.js";
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
      h("span", { className: "hint" }, `${figure.rows} rows, ${figure.columns} columns`),
      h("progress", { max: Math.max(1, all), value: all ? figure.settled : 1, "aria-label": `Doubts settled in ${figure.name}` }),
      h("span", { className: "figure-state" }, state, figure.findings ? ` · ▲ ${count(figure.findings, "finding")}` : "")),
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
