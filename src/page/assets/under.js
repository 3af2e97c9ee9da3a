// The picture laid under the beads, window by window, so that each peg lies on what was read for it.
import { $ } from "./dom.js";
import { store, watch, tellAll } from "./store.js";
import { sizeCanvas } from "./draw.js";
import { windowOf } from "./picture.js";

// Held longer than this, the key lays the picture under only while it is held.
const HELD_AFTER = 350;
let pressedAt = 0;

export function start() {
  $("under").addEventListener("click", () => lay(!store.under));
  watch((_, topics) => {
    if (["table", "reference", "under", "cell"].some((topic) => topics.has(topic)) && store.table) show();
  });
}

export function lay(under) {
  store.under = under;
  tellAll("under");
}

/** The key goes down: the picture comes or goes. */
export function keyDown() {
  pressedAt = performance.now();
  lay(!store.under);
}

/** The key comes up: after a long press things are as before. */
export function keyUp() {
  if (pressedAt && performance.now() - pressedAt > HELD_AFTER) lay(!store.under);
  pressedAt = 0;
}

function show() {
  const can = !!store.picture && !!store.table.reference?.windows;
  $("under").disabled = !can;
  $("under").setAttribute("aria-pressed", String(store.under && can));
  $("stage").classList.toggle("with-picture", store.under && can);
  if (!store.under || !can || !store.cell) return;
  const { rows, columns } = store.table;
  const cell = store.cell;
  const canvas = $("under-canvas");
  canvas.style.width = `${columns * cell}px`;
  canvas.style.height = `${rows * cell}px`;
  const context = sizeCanvas(canvas, columns * cell, rows * cell);
  for (let row = 0; row < rows; row += 1) {
    for (let column = 0; column < columns; column += 1) {
      const window = windowOf({ row, column });
      if (window) context.drawImage(store.picture, ...window, column * cell, row * cell, cell, cell);
    }
  }
}
