// A part of another figure, in place of this one's or beside it.
import { dialog, end, field, form, h, line as typed, hint, pick, box, text, tick } from "./dom.js";
import { store, change, failed, markIn } from "./store.js";
import { get, wordsOf } from "./wire.js";
import { coloured, drawFigure, drawRows } from "./draw.js";
import { line, plain } from "./line.js";

// CSS pixels: what a dialog has room for.
const ROOM = [300, 300];
const FAINT = 0.25;

export const company = async () => (await get("/api/shelf")).figures.filter((figure) => figure.look && figure.file !== store.table.file);

export async function askTake() {
  try {
    const figures = await company();
    dialog("A part of another figure", (close) => (figures.length ? asked(figures, close) : [h("p", {}, "There is no other figure in this folder."), end(h("button", { onclick: close }, "Close"))]));
  } catch (trouble) {
    failed(trouble);
  }
}

function asked(figures, close) {
  const from = pick("take-from", figures.map((figure) => [figure.file, figure.name]));
  const part = pick("take-part", []);
  const instead = box("take-instead");
  const name = typed("take-name");
  const told = hint();
  const canvas = h("canvas", { className: "take-from", role: "img" });
  let parts = [];
  let cell = 1;
  const show = () => {
    name.disabled = instead.checked;
    const figure = figures.find((one) => one.file === from.value);
    canvas.setAttribute("aria-label", `${figure.name}; press a part of it`);
    cell = drawFigure(canvas, Array(figure.rows).fill([]), figure.columns, ROOM);
    const context = canvas.getContext("2d");
    // What comes is plain and the rest faint: into a figure of one part a head comes with its hair and hat.
    const whole = part.value === "head" && store.table.parts.length === 1 ? ["head", "hair", "hat"] : [part.value];
    for (const one of parts) {
      context.globalAlpha = whole.includes(one.name) ? 1 : FAINT;
      drawRows(context, coloured(one.beads, figure.colours), cell, { x: one.first_column * cell, y: one.first_row * cell });
    }
  };
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
  const fill = async () => {
    try {
      ({ parts } = await get("/api/parts", from.value));
      part.replaceChildren(...parts.map((other) => h("option", {}, other.name)));
      suggest();
    } catch (trouble) {
      text(told, wordsOf(trouble));
    }
  };
  canvas.addEventListener("click", (event) => {
    const { left, top } = canvas.getBoundingClientRect();
    const found = parts.findLast((one) => markIn(one, Math.floor((event.clientY - top) / cell), Math.floor((event.clientX - left) / cell)));
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
    if (!part.value || called === "") return false;
    change(line`take ${part.value} from ${from.value}${plain(called ? line` as ${called}` : "")}`, `${called ?? part.value} taken.`);
  };
  return [form(close, "Take it", take, field("From", from), canvas, field("its part", part), tick(instead, "in place of this figure’s"), field("called here", name), told)];
}
