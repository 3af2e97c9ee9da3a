// What a hand may rely on: nothing moves under it, Enter keeps, the picture is pointed at where it lies, and a page whose files come slowly comes whole.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { MOUSE, PHONE, demo, launch, open, ready, saved, serve, session, stepsOf } from "./support.js";
import { inTray, peg } from "./hands.js";

const FIGURE = "milk-carter.figure.toml";
let browser;
before(async () => { browser = await launch(); });
after(() => browser.close());

const atTheTable = (context, run) => session(browser, { files: [FIGURE, "milk-carter.png"], context }, run);

test("a page whose files come slowly comes whole, and again when it is loaded anew", async () => {
  const folder = demo(FIGURE, "milk-carter.png");
  const server = await serve(folder.at(FIGURE));
  const shown = await open(browser, "about:blank");
  try {
    // Longer between two files than a connection that never asked is kept.
    await shown.page.route("**/*.js", (route) => setTimeout(() => route.continue(), 1200));
    await shown.page.goto(server.address);
    await ready(shown.page);
    await shown.page.reload();
    await ready(shown.page);
  } finally {
    await shown.close();
    await server.stop();
    folder.remove();
  }
});

test("a place of the picture is the place that is pressed, also where its box is taller than it", async () => {
  await atTheTable(MOUSE, async (page) => {
    await page.evaluate(() => {
      const { style } = document.querySelector("#reference-frame img");
      style.height = "500px";
      style.maxHeight = "none";
      style.width = "150px";
      style.objectFit = "contain";
    });
    const at = { row: 12, column: 5 };
    const place = await page.evaluate(async (at) => {
      const { windowOf } = await import("/picture.js");
      const image = document.querySelector("#reference-frame img");
      const { left, top, width, height } = image.getBoundingClientRect();
      const scale = Math.min(width / image.naturalWidth, height / image.naturalHeight);
      const [x, y, wide, high] = windowOf(at);
      return [left + (width - image.naturalWidth * scale) / 2 + (x + wide / 2) * scale, top + (height - image.naturalHeight * scale) / 2 + (y + high / 2) * scale];
    }, at);
    await page.mouse.click(...place);
    assert.deepEqual(await page.evaluate(async () => { const { row, column } = (await import("/store.js")).store.at; return { row, column }; }), at);
  });
});

test("Enter keeps, whatever was pressed before", async () => {
  await atTheTable(MOUSE, async (page, table) => {
    const kept = () => page.locator("#undo").getAttribute("aria-label");
    await page.locator("#next").click();
    for (const choice of ["1", "0", "1"]) {
      await page.locator(`#doubt-card [data-choice="${choice}"]`).first().click();
      await saved(page);
      assert.equal(await page.evaluate(() => document.activeElement.dataset.choice), "0");
      const before = stepsOf(table, FIGURE);
      await page.keyboard.press("Enter");
      await saved(page);
      assert.equal(stepsOf(table, FIGURE), before + 1);
      assert.match(await kept(), /kept/i);
    }
  });
});

test("by touch, a bead out of the tray is laid many times and the page stays", async () => {
  await atTheTable(PHONE, async (page) => {
    await inTray(page, "moss").tap();
    await page.locator("#hand", { hasText: "moss in your hand" }).waitFor();
    await peg(page, [9, 4]).scrollIntoViewIfNeeded();
    for (const at of [[9, 4], [9, 5], [10, 4]]) {
      const top = await page.evaluate(() => scrollY);
      await peg(page, at).tap();
      await saved(page);
      assert.equal(await page.evaluate(() => scrollY), top);
    }
  });
});

test("neither a refusal nor a notice moves the board", async () => {
  await atTheTable(MOUSE, async (page) => {
    const where = async () => (await page.locator("#board").boundingBox()).y;
    const first = await where();
    await inTray(page, "moss").click();
    assert.equal(await where(), first, "a bead in hand");
    await page.locator("#under").click();
    assert.equal(await where(), first, "the picture under the beads");
    await page.locator("[data-does=filling]").click();
    await peg(page, [1, 1]).click();
    await page.locator("#trouble:not([hidden])").waitFor();
    assert.equal(await where(), first, "a refusal");
  });
});
