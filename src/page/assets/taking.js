// A part of another figure: pointed at on the figure, or chosen by its name; in place of this one's, or beside it.
import { dialog, field, form, h, text } from "./dom.js";
import { store, change, tellAll } from "./store.js";
import { get } from "./wire.js";
import { drawRows, sizeCanvas } from "./draw.js";
import * as line from "./line.js";

// CSS pixels: what a dialog has room for.
const HIGH = 300;
const WIDE = 300;
const FAINT = 0.25;

/** Asks for a part of another figure of the folder. */
export async function askTake() {
  let figures;
  try {
    figures = (await get("/api/shelf")).figures.filter((figure) => figure.look && figure.file !== store.table.file);
  } catch (trouble) {
    store.trouble = trouble;
    tellAll("trouble");
    return;
  }
  dialog("A part of another figure", (close) => (figures.length ? asked(figures, close) : [
    h("p", {}, "There is no other figure in this folder."),
    h("div", { className: "dialog-end" }, h("button", { onclick: close }, "Close")),
  ]));
}

function asked(figures, close) {
  const from = h("select", { id: "take-from" }, figures.map((figure) => h("option", { value: figure.file }, figure.name)));
  const part = h("select", { id: "take-part" });
  const instead = h("input", { id: "take-instead", type: "checkbox" });
  const name = h("input", { id: "take-name", type: "text", autocomplete: "off" });
  const told = h("p", { className: "hint" });
  const canvas = h("canvas", { className: "take-from", role: "img" });
  let parts = [];
  const isTaken = (words) => store.table.parts.some((other) => other.name === words);
  const suggest = () => {
    let number = 1;
    const called = () => (number > 1 ? `${part.value} ${number}` : part.value);
    while (isTaken(called())) number += 1;
    name.value = called();
    instead.checked = parts.find((other) => other.name === part.value)?.of_body || isTaken(part.value);
    instead.disabled = !instead.checked;
    show();
  };
  const show = () => {
    name.disabled = instead.checked;
    draw(canvas, figures.find((figure) => figure.file === from.value), parts, part.value);
  };
  const fill = async () => {
    try {
      ({ parts } = await get("/api/parts", from.value));
      part.replaceChildren(...parts.map((other) => h("option", { value: other.name }, other.name)));
      suggest();
    } catch (trouble) {
      text(told, trouble.words);
    }
  };
  canvas.addEventListener("click", (event) => {
    const found = partAt(canvas, event, parts);
    if (!found) return;
    part.value = found.name;
    suggest();
  });
  part.addEventListener("change", suggest);
  from.addEventListener("change", fill);
  instead.addEventListener("change", show);
  fill();
  const take = () => {
    const called = instead.checked ? undefined : name.value.trim();
    return !!part.value && called !== "" && change(line.take(part.value, from.value, called), `${called ?? part.value} taken.`);
  };
  return [form(close, "Take it", take, field("From", from), canvas, field("its part", part),
    h("p", { className: "tick" }, instead, h("label", { htmlFor: "take-instead" }, "in place of this figure’s")), field("called here", name), told)];
}

const cellOf = ({ rows, columns }) => Math.min(HIGH / Math.max(1, rows), WIDE / Math.max(1, columns));

/** The figure, the chosen part plain and the rest faint. */
function draw(canvas, figure, parts, name) {
  if (!figure) return;
  const cell = cellOf(figure);
  const [width, height] = [cell * figure.columns, cell * figure.rows];
  canvas.style.width = `${width}px`;
  canvas.style.height = `${height}px`;
  canvas.cell = cell;
  canvas.setAttribute("aria-label", `${figure.name}; press a part of it`);
  const context = sizeCanvas(canvas, width, height);
  for (const part of parts) {
    context.globalAlpha = part.name === name ? 1 : FAINT;
    const rows = part.beads.map((row) => [...row].map((mark) => (figure.colours[mark] ? `#${figure.colours[mark]}` : null)));
    drawRows(context, rows, cell, { x: part.first_column * cell, y: part.first_row * cell });
  }
}

/** The part on top where the figure is pressed. */
function partAt(canvas, event, parts) {
  const box = canvas.getBoundingClientRect();
  const row = Math.floor((event.clientY - box.top) / canvas.cell);
  const column = Math.floor((event.clientX - box.left) / canvas.cell);
  const has = (part) => {
    const mark = part.beads[row - part.first_row]?.[column - part.first_column];
    return mark && mark !== ".";
  };
  return parts.findLast(has);
}
