// Screens kept as pictures where a person would look: fixtures/expected/page. REFRESH_SCREENS=1 writes them anew.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { PHONE, ROOT, accessible, demo, launch, open, ready, serve } from "./support.js";

const KEPT = join(ROOT, "fixtures", "expected", "page");
const SEEN = join(ROOT, "target", "page-screens");
const REFRESH = !!process.env.REFRESH_SCREENS;

// Pictures are compared in squares of so many pixels by their mean colour: letters drawn a little otherwise by another
// machine move it by a few steps of 255, a bead or a button by many.
const SQUARE = 12;
const STEPS = 22;
const MOST_SQUARES = 0.02;

const SIZES = { 1440: { viewport: { width: 1440, height: 900 } }, 768: { viewport: { width: 768, height: 1024 } }, 360: { ...PHONE, deviceScaleFactor: 1 } };
const FIGURES = ["milk-carter.figure.toml", "milk-carter.png"];

let browser;
let folder;
const servers = {};
before(async () => {
  browser = await launch();
  folder = demo(...FIGURES, "lamplighter.png");
  for (const [name, path] of [["figure", folder.at(FIGURES[0])], ["shelf", folder.folder], ["picture", folder.at("lamplighter.png")]]) servers[name] = await serve(path);
});
after(async () => {
  await browser.close();
  for (const server of Object.values(servers)) await server.stop();
  folder.remove();
});

/** The share of squares whose mean colour differs; 1 where the sizes do. */
async function apart(page, one, other) {
  return page.evaluate(async ([first, second, square, steps]) => {
    const read = async (base64) => {
      const image = new Image();
      image.src = `data:image/png;base64,${base64}`;
      await image.decode();
      const [w, h] = [Math.ceil(image.width / square), Math.ceil(image.height / square)];
      const canvas = new OffscreenCanvas(w * square, h * square);
      const context = canvas.getContext("2d");
      context.drawImage(image, 0, 0);
      const data = context.getImageData(0, 0, w * square, h * square).data;
      const means = new Float64Array(w * h * 3);
      for (let y = 0; y < h * square; y += 1) {
        for (let x = 0; x < w * square; x += 1) {
          for (let c = 0; c < 3; c += 1) means[(Math.floor(y / square) * w + Math.floor(x / square)) * 3 + c] += data[(y * w * square + x) * 4 + c] / square ** 2;
        }
      }
      return { size: `${image.width}x${image.height}`, means };
    };
    const [a, b] = [await read(first), await read(second)];
    if (a.size !== b.size) return 1;
    let far = 0;
    for (let at = 0; at < a.means.length; at += 3) {
      if ([0, 1, 2].some((c) => Math.abs(a.means[at + c] - b.means[at + c]) > steps)) far += 1;
    }
    return far / (a.means.length / 3);
  }, [one, other, SQUARE, STEPS]);
}

async function look(name, server, size, scheme, prepare) {
  const context = { ...SIZES[size], colorScheme: scheme, bypassCSP: true };
  const { page, close } = await open(browser, server.address, context);
  try {
    // The same letters on every machine; tests/run installs them.
    await page.addStyleTag({ content: ":root { font-family: 'Noto Sans', sans-serif !important }" });
    await prepare(page);
    const image = await page.screenshot({ animations: "disabled", caret: "hide" });
    await accessible(page, `${name}, ${size}, ${scheme}`);
    const file = `${name}-${size}${scheme === "dark" ? "-dark" : ""}.png`;
    if (REFRESH) {
      mkdirSync(KEPT, { recursive: true });
      writeFileSync(join(KEPT, file), image);
      return;
    }
    assert.ok(existsSync(join(KEPT, file)), `${file} is not kept yet: REFRESH_SCREENS=1`);
    const blank = await browser.newPage();
    const share = await apart(blank, readFileSync(join(KEPT, file)).toString("base64"), image.toString("base64"));
    await blank.close();
    if (share > MOST_SQUARES) {
      mkdirSync(SEEN, { recursive: true });
      writeFileSync(join(SEEN, file), image);
    }
    assert.ok(share <= MOST_SQUARES, `${file}: ${(share * 100).toFixed(1)} % of it looks otherwise; see target/page-screens/${file}`);
  } finally {
    await close();
  }
}

const settled = async (page) => {
  await ready(page);
  for (let left = 1; left > 0; left = await page.evaluate(() => document.querySelector("[data-choice='0']") && !document.querySelector(".finished") ? 1 : 0)) {
    await page.evaluate(() => document.activeElement.blur());
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.getElementById("saved").textContent === "Saved");
  }
};
const drafted = async (page) => {
  await page.getByText(/\d+ doubts? to look at/).waitFor();
  await page.waitForFunction(() => document.querySelector(".sketch-stage img")?.naturalWidth > 0);
};

for (const [name, server, sizes, prepare] of [
  ["table", "figure", ["1440", "1440-dark", "768", "360", "360-dark"], ready],
  ["picture-under", "figure", ["1440"], async (page) => { await ready(page); await page.locator("#under").click(); }],
  ["far", "figure", ["1440-dark"], async (page) => { await ready(page); await page.locator("#way").selectOption("far"); }],
  ["help", "figure", ["1440", "360-dark"], async (page) => { await ready(page); await page.locator("#ask-help").click(); }],
  ["shelf", "shelf", ["1440", "360-dark"], (page) => page.getByRole("heading", { name: /on this shelf/ }).waitFor()],
  ["picture", "picture", ["1440", "768-dark", "360"], drafted],
  ["changed-elsewhere", "figure", ["1440", "360-dark"], async (page) => {
    await ready(page);
    const was = folder.read(FIGURES[0]);
    writeFileSync(folder.at(FIGURES[0]), was.replace('bead = "peat"', 'bead = "cocoa"'));
    await page.locator("dialog").waitFor();
    writeFileSync(folder.at(FIGURES[0]), was);
  }],
  ["settled", "figure", ["1440", "360-dark"], settled],
]) {
  for (const size of sizes) {
    test(`${name}, ${size}`, async () => {
      const [width, dark] = size.split("-");
      if (name === "settled" && dark) return look(name, servers[server], width, "dark", ready);
      return look(name, servers[server], width, dark ? "dark" : "light", prepare);
    });
  }
}
