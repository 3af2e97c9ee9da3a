// Which beads come nearest to a place of the reference.
import { $, h, kbd, hint, more } from "./dom.js";
import { store, on } from "./store.js";
import { get } from "./wire.js";
import { windowOf } from "./picture.js";
import { swatch } from "./doubts.js";
import { take } from "./tray.js";

// A window's edge may be the neighbour's.
const MIDDLE = 1 / 3;
let body;
let asked = 0;

export function start() {
  body = h("div", { className: "near", "aria-live": "polite" });
  const ask = h("button", { className: "small", id: "ask-colour", onclick: () => nearest() }, "Nearest beads ", kbd("C"));
  $("reference").append(ask, body);
  on("table reference", () => { ask.hidden = !store.picture; });
  on("at reference", () => {
    asked += 1;
    body.replaceChildren();
  });
}

// The beads nearest to the picture at a place in its pixels, else where the maker is.
export async function nearest(place) {
  const window = windowOf(store.at);
  if (!store.picture || !(place || window)) return;
  const [x, y] = place ?? [window[0] + window[2] / 2, window[1] + window[3] / 2];
  const side = Math.max(1, (window?.[2] ?? 3) * MIDDLE);
  const context = h("canvas", { width: 1, height: 1 }).getContext("2d");
  context.imageSmoothingQuality = "high";
  // Where the picture is empty, its paper shows.
  context.fillStyle = "#fff";
  context.fillRect(0, 0, 1, 1);
  context.drawImage(store.picture, x - side / 2, y - side / 2, side, side, 0, 0, 1, 1);
  const colour = `#${[...context.getImageData(0, 0, 1, 1).data].slice(0, 3).map((value) => value.toString(16).padStart(2, "0")).join("")}`;
  asked += 1;
  const mine = asked;
  const { nearest: near } = await get(`/api/nearest?colour=${encodeURIComponent(colour)}`);
  if (mine !== asked) return;
  const dot = h("span", { className: "swatch" });
  dot.style.setProperty("--bead", colour);
  body.replaceChildren(
    hint(dot, " The picture there. CIEDE2000 to:"),
    more(near.map(({ bead, distance }) => h("button", { className: "small", title: `Take ${bead} in your hand`, onclick: () => take(bead) }, swatch(bead), `${bead} ${distance.toFixed(1)}`))),
  );
}
