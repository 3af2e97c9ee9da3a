// Rows by zone: one more, one less, and how tall that makes the figure beside the guide.
import { $, h, press, more, hint, redraw } from "./dom.js";
import { store, on, change } from "./store.js";
import { line } from "./line.js";
import { count } from "./words.js";

export const start = () => on("table at", show);

function show() {
  const { rows, guide, zones } = store.table;
  const apart = rows - guide.rows;
  const { row } = store.at;
  const here = zones.find((zone) => row >= zone.first && row < zone.first + zone.rows);
  const at = (does, words, made, spoken, disabled = false) => {
    const button = press(does, words, () => change(made, spoken));
    button.disabled = disabled;
    return button;
  };
  redraw($("rows-body"),
    hint(`${count(rows, "row")}, ${apart === 0 ? "as tall as the guide" : `${count(Math.abs(apart), "row")} ${apart > 0 ? "taller" : "shorter"} than the guide`}.`),
    h("ul", { className: "zones" }, zones.filter((zone) => zone.rows > 0).map(item)),
    more(...(here ? [
      at("double", `Double row ${row + 1}`, line`add-row ${here.zone} ${row + 1}`, `Row ${row + 1} doubled.`),
      at("drop", `Take out row ${row + 1}`, line`drop-row ${here.zone} ${row + 1}`, `Row ${row + 1} taken out.`, here.rows < 2),
    ] : [])));
}

function item({ zone, rows }) {
  const button = (does, sign, label, made, by) =>
    h("button", { className: "small sign", "aria-label": `${label} in ${zone}`, data: { does: `${does}-${zone}` }, disabled: rows + by < 1, onclick: () => change(made, `${zone} has ${count(rows + by, "row")}.`) }, sign);
  return h("li", {}, h("span", { className: "zone" }, zone), h("span", { className: "hint" }, count(rows, "row")),
    button("drop", "−", "One row less", line`drop-row ${zone}`, -1), button("add", "+", "One row more", line`add-row ${zone}`, 1));
}
