// Beads in pixels: on a canvas, and which ink is read on a bead.

const WHITE = 255;

/** Relative luminance as WCAG 2.2 defines it, of "#rrggbb". */
export function luminance(hex) {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const value = parseInt(hex.slice(at, at + 2), 16) / WHITE;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

// Black and white are read equally well on this luminance: (1 + 0.05) / (L + 0.05) = (L + 0.05) / 0.05.
const EVEN = Math.sqrt(1.05 * 0.05) - 0.05;

/** Black or white, whichever reads better: never less than 4.5 to 1 on any colour. */
export const inkOn = (hex) => (luminance(hex) > EVEN ? "#000" : "#fff");

/** A canvas of so many CSS pixels, sharp on dense screens, with its context scaled to them. */
export function sizeCanvas(canvas, width, height) {
  const dense = globalThis.devicePixelRatio || 1;
  const [w, h] = [Math.round(width * dense), Math.round(height * dense)];
  if (canvas.width !== w) canvas.width = w;
  if (canvas.height !== h) canvas.height = h;
  const context = canvas.getContext("2d");
  context.setTransform(dense, 0, 0, dense, 0, 0);
  context.clearRect(0, 0, width, height);
  return context;
}

const RADIUS = 0.47;
const HOLE = 0.17;

/** Draws one bead with its hole in a square of `cell` pixels. */
export function drawBead(context, x, y, cell, hex, hole = true) {
  const [cx, cy] = [x + cell / 2, y + cell / 2];
  context.beginPath();
  context.arc(cx, cy, cell * RADIUS, 0, 2 * Math.PI);
  if (hole) {
    context.moveTo(cx + cell * HOLE, cy);
    context.arc(cx, cy, cell * HOLE, 0, 2 * Math.PI, true);
  }
  context.fillStyle = hex;
  context.fill();
  context.lineWidth = Math.max(0.5, cell * 0.03);
  context.strokeStyle = luminance(hex) > EVEN ? "rgba(0,0,0,.38)" : "rgba(255,255,255,.3)";
  context.stroke();
}

/** Draws rows of colours (null is an empty peg) with `cell` pixels a bead. */
export function drawRows(context, rows, cell, { hole = true, x = 0, y = 0 } = {}) {
  rows.forEach((row, r) =>
    row.forEach((hex, c) => {
      if (hex) drawBead(context, x + c * cell, y + r * cell, cell, hex, hole);
    }),
  );
}

/** A table's beads as rows of colours. */
export function rowsOf(table, hexes = new Map()) {
  const byMark = new Map(table.legend.map((entry) => [entry.mark, hexes.get(entry.bead) ?? `#${entry.hex}`]));
  return table.beads.map((row) => row.map((cell) => (cell ? byMark.get(cell.m) : null)));
}
