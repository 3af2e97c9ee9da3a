// Everything is on disk, and nobody's work is written over.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { existsSync, writeFileSync } from "node:fs";
import { MOUSE, accessible, demo, doubtsLeft, launch, open, ready, saved, serve } from "./support.js";

const FIGURE = "milk-carter.figure.toml";
let browser;
let table;
let server;
before(async () => {
  browser = await launch();
  table = demo(FIGURE, "milk-carter.png", "lamplighter.png");
  server = await serve(table.at(FIGURE));
});
after(async () => {
  await browser.close();
  await server.stop();
  table.remove();
});

const choice = (page, name) => page.locator(`[data-choice="${name}"]`);
const clash = (page) => page.getByRole("heading", { name: "This figure was changed elsewhere meanwhile" });

/** Another program turns the milk-carter's can, dove, to ash: one word in the file. */
const elsewhere = (from, to) => writeFileSync(table.at(FIGURE), table.read(FIGURE).replace(`bead = "${from}"`, `bead = "${to}"`));

test("a reload with work under way goes on where it was", async () => {
  const { page, close, fine } = await open(browser, server.address);
  await ready(page);
  const all = await doubtsLeft(page);
  await choice(page, 0).click();
  await saved(page);
  await page.locator("#next").click();
  await page.locator("#next").click();
  const where = await page.locator(".where").textContent();
  await page.reload();
  await ready(page);
  assert.equal(await page.locator(".where").textContent(), where);
  const left = await doubtsLeft(page);
  assert.ok(left < all);
  assert.match(await page.locator("#undo").getAttribute("aria-label"), /^Undo: (?:row \d+, column \d+|\d+ pegs|[a-z]+) kept/);
  assert.equal(new URL(page.url()).hash, "");
  fine();
  await close();
});

test("a file changed meanwhile is shown beside what was here, and the file can be gone on from", async () => {
  const { page, close, fine } = await open(browser, server.address);
  await ready(page);
  elsewhere("dove", "ash");
  await clash(page).waitFor();
  assert.match(await page.locator(".differences").textContent(), /Row 16, column \d+: here dove, on disk ash/);
  await accessible(page, "changed elsewhere");
  const disk = table.read(FIGURE);
  await page.getByRole("button", { name: "Use the file" }).click();
  await page.locator(".peg[aria-label*=ash]").first().waitFor();
  assert.equal(table.read(FIGURE), disk);
  fine();
  await close();
});

test("beads as they were here can be put back on the file", async () => {
  const { page, close, fine } = await open(browser, server.address);
  await ready(page);
  const before = await page.locator(".peg[aria-label*=ash]").count();
  elsewhere("ash", "dove");
  await clash(page).waitFor();
  await page.getByRole("button", { name: "Put my beads back" }).click();
  await page.locator("dialog").waitFor({ state: "detached" });
  await saved(page);
  assert.equal(await page.locator(".peg[aria-label*=ash]").count(), before);
  assert.match(table.read(FIGURE), /bead = "ash"/);
  fine();
  await close();
});

test("a step made on a figure that changed meanwhile waits for the maker, then is laid on the file", async () => {
  const { page, close, fine } = await open(browser, server.address);
  await ready(page);
  // The page is kept from looking, so that the step meets the changed file.
  await page.route("**/api/version**", () => {});
  elsewhere("mustard", "yolk");
  const disk = table.read(FIGURE);
  const left = await doubtsLeft(page);
  await choice(page, 0).click();
  await clash(page).waitFor();
  assert.equal(table.read(FIGURE), disk);
  await page.getByRole("button", { name: "Apply my step to the file" }).click();
  await page.locator("dialog").waitFor({ state: "detached" });
  await saved(page);
  assert.ok((await doubtsLeft(page)) < left);
  assert.doesNotMatch(table.read(FIGURE), /bead = "mustard"/);
  fine();
  await close();
});

test("two windows follow one another and lose nothing", async () => {
  const own = await browser.newContext(MOUSE);
  const [one, two] = [await own.newPage(), await own.newPage()];
  await one.goto(server.address);
  await ready(one);
  await two.goto(server.address);
  await ready(two);
  const left = await doubtsLeft(one);
  await choice(one, 0).click();
  await saved(one);
  const shows = (page, count) => page.waitForFunction((words) => document.getElementById("left").textContent.startsWith(words), `${count} doubt`);
  const after = await doubtsLeft(one);
  assert.ok(after < left);
  await shows(two, after);
  await choice(two, 0).click();
  await saved(two);
  const last = await doubtsLeft(two);
  assert.ok(last < after);
  await shows(one, last);
  assert.equal(await one.locator("dialog").count(), 0);
  assert.equal(await two.locator("dialog").count(), 0);
  await own.close();
});

test("without its key the page shows nothing", async () => {
  const { page, close } = await open(browser, new URL("/", server.address).href);
  await page.getByText("This page opens only from its full address.").waitFor();
  assert.equal(await page.locator("#table").isVisible(), false);
  await accessible(page, "not let in");
  await close();
});

test("an ended program is said, and what was done is on disk", async () => {
  const other = demo(FIGURE, "milk-carter.png");
  const ending = await serve(other.at(FIGURE));
  const { page, close } = await open(browser, ending.address);
  await ready(page);
  const first = other.read(FIGURE);
  await choice(page, 0).click();
  await saved(page);
  assert.notEqual(other.read(FIGURE), first);
  await ending.stop();
  await page.locator("#trouble", { hasText: "The program does not answer." }).waitFor();
  await accessible(page, "the program ended");
  await close();
  other.remove();
});

/** How many colours a canvas shows. */
function coloursIn(canvas) {
  const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  return new Set(new Uint32Array(data.buffer)).size;
}

test("a folder is a shelf, and Back leads to it", async () => {
  const shelf = await serve(table.folder);
  const { page, close, fine } = await open(browser, shelf.address);
  const card = page.getByRole("button", { name: /Milk-carter/ });
  await card.waitFor();
  assert.ok(await card.locator("canvas").evaluate(coloursIn) > 5, "its picture is on the card");
  await card.click();
  await ready(page);
  await page.goBack();
  await page.getByRole("heading", { name: /on this shelf/ }).waitFor();
  fine();
  await close();
  await shelf.stop();
});

test("a picture is drafted, its landmarks moved, and saved", async () => {
  const drafting = await serve(table.at("lamplighter.png"), "--class", "taller");
  const { page, close, fine } = await open(browser, drafting.address);
  await page.getByText(/\d+ doubts? to look at/).waitFor();
  const chin = page.getByRole("slider", { name: "chin" });
  const row = Number(await chin.getAttribute("aria-valuenow"));
  const drafted = page.waitForResponse((answer) => answer.url().endsWith("/api/draft") && answer.request().postData().includes("chin="));
  await chin.focus();
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("ArrowDown");
  assert.equal(Number(await chin.getAttribute("aria-valuenow")), row + 2);
  assert.match((await drafted).request().postData(), new RegExp(`chin=${row + 2}`));
  await accessible(page, "a picture");
  await page.getByRole("button", { name: "Save and edit" }).click();
  await ready(page);
  assert.ok(existsSync(table.at("lamplighter.figure.toml")));
  fine();
  await close();
  await drafting.stop();
});
