// Beads in pixels: on a canvas, and which ink is read on a bead.

// Relative luminance of "#rrggbb" (WCAG 2.2).
export function luminance(hex) {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const value = parseInt(hex.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

// Black and white are read equally well on this luminance: (1 + 0.05) / (L + 0.05) = (L + 0.05) / 0.05.
const EVEN = Math.sqrt(1.05 * 0.05) - 0.05;

// Black or white, whichever reads better: never less than 4.5 to 1.
export const inkOn = (hex) => (luminance(hex) > EVEN ? "#000" : "#fff");

// Makes a canvas so many CSS pixels large, sharp on dense screens; its context, empty.
export function sizeCanvas(canvas, width, height) {
  const dense = devicePixelRatio || 1;
  Object.assign(canvas.style, { width: `${width}px`, height: `${height}px` });
  Object.assign(canvas, { width: Math.round(width * dense), height: Math.round(height * dense) });
  const context = canvas.getContext("2d");
  context.scale(dense, dense);
  return context;
}

const RADIUS = 0.47;
const HOLE = 0.17;

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

export function drawRows(context, rows, cell, { hole = true, x = 0, y = 0 } = {}) {
  rows.forEach((row, r) => row.forEach((hex, c) => {
    if (hex) drawBead(context, x + c * cell, y + r * cell, cell, hex, hole);
  }));
}

// A figure on a canvas, as large as fits; how large a bead is then.
export function drawFigure(canvas, rows, columns, [wide, high], options) {
  const cell = Math.min(high / Math.max(1, rows.length), wide / Math.max(1, columns));
  drawRows(sizeCanvas(canvas, cell * columns, cell * rows.length), rows, cell, options);
  return cell;
}

export const coloured = (rows, colours) => rows.map((row) => [...row].map((mark) => (colours[mark] ? `#${colours[mark]}` : null)));

export function rowsOf(table) {
  const hexes = new Map(table.legend.map(({ mark, hex }) => [mark, `#${hex}`]));
  return table.beads.map((row) => row.map((cell) => cell && hexes.get(cell.m)));
}

// A frame read on any colour: dark, light, dark.
export function frame(context, [x, y, w, h], strong = true) {
  for (const [width, colour] of strong ? [[5, "#111"], [3, "#fff"], [1, "#111"]] : [[3, "#111"], [1.5, "#fff"]]) {
    context.lineWidth = width;
    context.strokeStyle = colour;
    context.strokeRect(x, y, w, h);
  }
}
