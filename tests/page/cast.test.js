// The cast on the page: its shelf, its line-up, new figures from a picture and from an older one, two side by side.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { MOUSE, PHONE, accessible, demo, launch, open, saved, serve } from "./support.js";

const FIGURES = ["milk-carter.figure.toml", "lamplighter.figure.toml", "night-watch.figure.toml"];
let browser;
let table;
let server;
before(async () => {
  browser = await launch();
  table = demo(...FIGURES, "milk-carter.png", "lamplighter.png", "night-watch.png", "stoker.png");
  server = await serve(table.folder);
});
after(async () => {
  await browser.close();
  await server.stop();
  table.remove();
});

for (const [width, context] of [["1440", MOUSE], ["360", PHONE]]) {
  test(`the shelf says of each figure what is left, and stands them up, ${width}`, async () => {
    const { page, fine, close } = await open(browser, server.address, context);
    const card = page.locator(".figure-card", { hasText: "Milk-carter" });
    await card.waitFor();
    assert.match(await card.textContent(), /guide, 24 rows, 13 columns.*\d+ doubts left/);
    assert.ok(await page.locator(".figure-card canvas").count() >= FIGURES.length);
    await page.locator("#lineup").click();
    await page.waitForFunction(() => document.querySelector(".lineup img")?.naturalWidth > 0);
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth), 0);
    await accessible(page, `shelf with line-up, ${width}`);
    const download = page.waitForEvent("download");
    await page.getByRole("button", { name: "Save the line-up (PDF)" }).click();
    assert.equal((await download).suggestedFilename(), "lineup.pdf");
    fine();
    await close();
  });
}

test("a new figure begins with an older one, as tall as asked, and leads back to it", async () => {
  const { page, fine, close } = await open(browser, server.address);
  await page.getByRole("button", { name: "From an older figure…" }).click();
  await page.locator("#new-from").selectOption({ label: "Lamplighter" });
  await page.locator("#new-name").fill("Lamplighter's Son");
  // The list says rows, and that beads by hand may go is asked where rows go.
  assert.match(await page.locator("#new-class option[value=child]").textContent(), /^child, \d+ rows$/);
  assert.ok(await page.locator("#rows-may-go").isHidden());
  await page.locator("#new-class").selectOption("very-tall");
  assert.ok(await page.locator("#rows-may-go").isHidden());
  await page.locator("#new-class").selectOption("child");
  await accessible(page, "a new figure");
  // Nothing placed by hand goes unless the maker says so.
  await page.getByRole("button", { name: "Make it" }).click();
  await page.getByText(/would remove \d+ beads placed by hand/).waitFor();
  assert.ok(!existsSync(table.at("lamplighter-s-son.figure.toml")));
  await page.locator("#rows-may-go").check();
  await page.getByRole("button", { name: "Make it" }).click();
  await page.locator("h1", { hasText: "Lamplighter's Son" }).waitFor();
  assert.ok(existsSync(table.at("lamplighter-s-son.figure.toml")));
  assert.match(table.read("lamplighter-s-son.figure.toml"), /class = "child"/);
  assert.deepEqual(await page.locator("#past-body button").allTextContents(), ["begun with Lamplighter", "Before these steps"]);
  // Beside the one it was made of.
  await page.locator("#beside").focus();
  await page.waitForFunction(() => document.querySelectorAll("#beside option").length > 2);
  await page.locator("#beside").selectOption({ label: "Lamplighter" });
  await page.locator("#size-words", { hasText: "Lamplighter: " }).waitFor();
  // A name that is taken is refused, and nothing is written over.
  await page.locator("#to-shelf").click();
  await page.getByRole("button", { name: "From an older figure…" }).click();
  await page.locator("#new-name").fill("Night watch");
  const kept = table.read("night-watch.figure.toml");
  await page.getByRole("button", { name: "Make it" }).click();
  await page.getByText("already exists and was not changed").waitFor();
  assert.equal(table.read("night-watch.figure.toml"), kept);
  fine();
  await close();
});

test("a picture of the folder that no figure has yet is drafted from the shelf", async () => {
  const { page, fine, close } = await open(browser, server.address);
  await page.getByRole("button", { name: "From a picture…" }).click();
  assert.deepEqual(await page.locator(".pictures button").allTextContents(), ["stoker.png"]);
  await page.waitForFunction(() => document.querySelector(".pictures img").naturalWidth > 0);
  await accessible(page, "pictures of the folder");
  await page.locator(".pictures button").click();
  await page.getByText(/24 rows, \d+ beads/).waitFor();
  await page.getByRole("button", { name: "Save and edit" }).click();
  await page.locator("h1", { hasText: /^Stoker$/ }).waitFor();
  await saved(page);
  assert.ok(existsSync(table.at("stoker.figure.toml")));
  await page.locator("#to-shelf").click();
  await page.locator(".figure-card", { hasText: "Stoker" }).waitFor();
  fine();
  await close();
});

test("a part of another figure is pointed at, and comes in place of this one's", async () => {
  const { page, fine, close } = await open(browser, server.address);
  await page.locator(".figure-card", { hasText: "Milk-carter" }).click();
  await page.locator("[data-does=take]").click();
  await page.locator("#take-from").selectOption({ label: "Lamplighter" });
  const figure = page.locator("canvas.take-from");
  await page.waitForFunction(() => document.querySelectorAll("#take-part option").length > 1);
  await accessible(page, "a part of another figure");
  const box = await figure.boundingBox();
  const before = await page.locator("#take-part").inputValue();
  // Up at the head, then down at the feet.
  const chosen = [];
  for (const share of [0.15, 0.97]) {
    for (const across of [0.35, 0.45, 0.55]) {
      await figure.click({ position: { x: box.width * across, y: box.height * share } });
    }
    chosen.push(await page.locator("#take-part").inputValue());
  }
  assert.notEqual(chosen[0], chosen[1], `${before}, ${chosen}`);
  await page.getByRole("button", { name: "Take it" }).click();
  await saved(page);
  await page.waitForFunction((name) => document.querySelector("#undo").getAttribute("aria-label").includes(`${name} taken from`), chosen[1]);
  fine();
  await close();
});
