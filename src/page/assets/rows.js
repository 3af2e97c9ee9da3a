// Rows by zone: one more, one less, and how tall that makes the figure beside the guide.
import { $, h } from "./dom.js";
import { store, watch, change } from "./store.js";
import { addRow, dropRow } from "./line.js";
import { count } from "./words.js";

export function start() {
  watch((_, topics) => {
    if (topics.has("table")) show();
    else if (topics.has("at") && $("rows-body").firstChild) here();
  });
}

function show() {
  const body = $("rows-body");
  const held = body.contains(document.activeElement) ? document.activeElement.dataset.does : null;
  const { rows, guide, zones } = store.table;
  const apart = rows - guide.rows;
  const beside = apart === 0 ? "as tall as the guide" : `${count(Math.abs(apart), "row")} ${apart > 0 ? "taller" : "shorter"} than the guide`;
  body.replaceChildren(
    h("p", { className: "hint" }, `${count(rows, "row")}, ${beside}.`),
    h("ul", { className: "zones" }, zones.filter((zone) => zone.rows > 0).map(item)),
    h("div", { className: "more", id: "rows-here" }),
  );
  here();
  if (held) (body.querySelector(`[data-does="${held}"]:not(:disabled)`) ?? body.querySelector("button"))?.focus();
}

function button(does, sign, label, line, disabled, spoken) {
  return h("button", { className: "small sign", "aria-label": label, data: { does }, disabled, onclick: () => change(line, spoken) }, sign);
}

function item({ zone, rows }) {
  return h("li", {},
    h("span", { className: "zone" }, zone), h("span", { className: "zone-rows" }, count(rows, "row")),
    button(`drop-${zone}`, "−", `One row less in ${zone}`, dropRow(zone), rows < 2, `${zone} has ${count(rows - 1, "row")}.`),
    button(`add-${zone}`, "+", `One row more in ${zone}`, addRow(zone), false, `${zone} has ${count(rows + 1, "row")}.`),
  );
}

function here() {
  const row = store.at.row;
  const zone = store.table.zones.find((other) => row >= other.first && row < other.first + other.rows);
  $("rows-here").replaceChildren(
    ...(zone
      ? [
        h("button", { className: "small", data: { does: "double" }, onclick: () => change(addRow(zone.zone, row), `Row ${row + 1} doubled.`) }, `Double row ${row + 1}`),
        h("button", { className: "small", data: { does: "drop" }, disabled: zone.rows < 2, onclick: () => change(dropRow(zone.zone, row), `Row ${row + 1} taken out.`) }, `Take out row ${row + 1}`),
      ]
      : []),
  );
}
