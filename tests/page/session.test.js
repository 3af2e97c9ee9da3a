// A whole session as a maker would do it: by mouse, by keyboard alone, and by touch on a narrow screen.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { MOUSE, PHONE, accessible, demo, doubtsLeft, launch, open, ready, saved, serve } from "./support.js";

const FIGURE = "milk-carter.figure.toml";
const HISTORY = "milk-carter.history.toml";
let browser;
before(async () => { browser = await launch(); });
after(() => browser.close());

/** Serves the demo, runs a session on it, and cleans up. */
async function session(context, run) {
  const table = demo(FIGURE, "milk-carter.png");
  const server = await serve(table.at(FIGURE));
  const shown = await open(browser, server.address, context);
  try {
    await ready(shown.page);
    await run(shown.page, table, server);
    shown.fine();
  } finally {
    await shown.close();
    await server.stop();
    table.remove();
  }
}

const peg = (page, row, column) => page.locator(`#board [role=row]:nth-child(${row + 1}) [role=gridcell]:nth-of-type(${column + 1})`);
const label = (locator) => locator.getAttribute("aria-label");
const nothing = (page, id) => page.locator(id).getAttribute("aria-label").then((words) => words.endsWith("nothing"));

/** Chooses one answer for all that touch, at the first doubt that has any. */
async function answerForAll(page, press) {
  for (let tries = 0; tries < 20 && !(await page.locator("#for-all").isVisible()); tries += 1) await page.locator("#next").click();
  await press();
  assert.ok(await page.locator("#for-all").isChecked());
}

/** Answers what is left, for all that touch at once. */
async function answerTheRest(page, press) {
  for (let left = await doubtsLeft(page), less; left > 0; left = less) {
    await press();
    await saved(page);
    less = await doubtsLeft(page);
    assert.ok(less < left);
  }
}

// Presses that quick hands make before the program has answered the first.
const QUICK = 10;

/** Presses `steps` times, by quick hands; nothing is left then to undo or to redo. */
async function through(page, id, steps, press) {
  for (let left = steps; left > 0; left -= QUICK) {
    assert.ok(!(await nothing(page, id)), `nothing is left, ${left} steps were to come`);
    await press(Math.min(QUICK, left));
    await saved(page);
  }
  assert.ok(await nothing(page, id));
}

/** Undoes everything and does it again: first the file as it was, then as it became. */
async function thereAndBack(page, table, first, undo, redo) {
  const steps = () => Number(/^done = (\d+)$/m.exec(table.read(HISTORY))[1]);
  const [last, made] = [table.read(FIGURE), steps()];
  assert.notEqual(last, first);
  assert.ok(made > 10);
  await through(page, "#undo", made, undo);
  assert.equal(table.read(FIGURE), first);
  assert.equal(steps(), 0);
  await through(page, "#redo", made, redo);
  assert.equal(table.read(FIGURE), last);
  assert.equal(steps(), made);
}

/** Presses a button so many times by touch. */
async function taps(page, id, times) {
  await page.locator(id).tap();
  const box = await page.locator(id).boundingBox();
  for (let more = 1; more < times; more += 1) await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2);
}

/** Presses keys so many times. */
async function keys(page, name, times) {
  for (let pressed = 0; pressed < times; pressed += 1) await page.keyboard.press(name);
}

test("by mouse", async () => {
  await session(MOUSE, async (page, table) => {
    const first = table.read(FIGURE);
    const all = await doubtsLeft(page);
    assert.ok(all > 10);
    const choice = (name) => page.locator(`[data-choice="${name}"]`);

    // One at a time: kept, the runner-up taken, another bead found by name, one lifted.
    await choice(0).click();
    await saved(page);
    assert.equal(await doubtsLeft(page), all - 1);
    await choice(1).click();
    await saved(page);
    assert.equal(await doubtsLeft(page), all - 2);
    await choice("another").click();
    await page.locator("#find-bead").fill("coa");
    await page.locator("#bead-list [role=option]", { hasText: "coal" }).click();
    await saved(page);
    assert.equal(await doubtsLeft(page), all - 3);
    assert.match(table.read(FIGURE), /bead = "coal"/);

    // The rest with one answer for all that touch.
    await answerForAll(page, () => page.locator("#for-all").click());
    await answerTheRest(page, () => choice(0).click());
    await page.getByText("Every doubt is settled.").waitFor();

    // A bead in the hand goes on the peg that is pressed, also on one beside the figure.
    await page.locator("#bead-list [role=option]", { hasText: "poppy" }).click();
    await peg(page, 1, 1).click();
    await saved(page);
    assert.equal(await label(peg(page, 1, 1)), "row 1, column 1, poppy, settled by hand");
    await page.locator("#hand button").click();

    // Where a bead is, and swapped for another.
    await page.locator("#bead-list [role=option]", { hasText: "poppy" }).click();
    await page.locator("[data-does=where]").click();
    assert.ok((await page.locator(".peg.pointed").count()) > 1);
    await page.locator("[data-does=swap]").click();
    await page.locator("#swap-new").selectOption("coal");
    await page.locator("#swap-by-hand").check();
    await page.getByRole("button", { name: "Swap them" }).click();
    await saved(page);
    assert.equal(await page.locator(".peg[aria-label*=poppy]").count(), 0);
    await page.locator("#hand button").click();

    // A part moves; a row comes; a part is mirrored.
    await page.getByRole("button", { name: "Move right body" }).click();
    await saved(page);
    await page.getByRole("button", { name: "One row more in legs" }).click();
    await saved(page);
    await page.getByRole("button", { name: "Mirror" }).click();
    await saved(page);
    await page.getByText("1 row taller than the guide").waitFor();

    await thereAndBack(page, table, first, (times) => page.locator("#undo").click({ clickCount: times }), (times) => page.locator("#redo").click({ clickCount: times }));
    await accessible(page, "the table after a session");
  });
});

test("by keyboard alone", async () => {
  await session(MOUSE, async (page, table) => {
    const first = table.read(FIGURE);
    const all = await doubtsLeft(page);
    const key = (name) => page.keyboard.press(name);
    const focused = () => page.evaluate(() => document.activeElement.getAttribute("aria-label") ?? document.activeElement.textContent);

    // The skip link leads to the figure, which is one stop.
    await key("Tab");
    await key("Enter");
    assert.match(await focused(), /^row \d+, column \d+, .* % sure/);
    await key("Control+Home");
    assert.match(await focused(), /^row 1, column 1, /);
    await key("ArrowRight");
    await key("ArrowDown");
    assert.match(await focused(), /^row 2, column 2, /);
    await key("End");
    assert.match(await focused(), /^row 2, column 13, /);
    await key("PageDown");
    assert.match(await focused(), /^row 7, column 13, /);
    await key("Control+End");
    assert.match(await focused(), /^row 24, column 13, /);

    // Doubts: next, keep, a runner-up by its number, another by its name.
    await key("n");
    await key("Enter");
    await saved(page);
    await key("1");
    await saved(page);
    assert.equal(await doubtsLeft(page), all - 2);
    await key("b");
    await page.keyboard.type("coal");
    await key("Enter");
    await saved(page);
    assert.equal(await doubtsLeft(page), all - 3);

    // Quick hands: keys pressed before the program has answered each meet the next doubt.
    await key("Enter");
    await key("Enter");
    await key("Enter");
    await saved(page);
    assert.equal(await doubtsLeft(page), all - 6);

    // The rest together.
    await key("a");
    await answerTheRest(page, () => key("Enter"));

    // Swap by its dialog.
    await page.locator(".peg[aria-label*=poppy]").first().focus();
    await key("s");
    await page.keyboard.type("coal");
    await key("Tab");
    await key("Tab");
    await key("Space");
    await key("Enter");
    await saved(page);
    assert.equal(await page.locator(".peg[aria-label*=poppy]").count(), 0);

    // Several at once, lifted.
    await key("Control+Home");
    await key("Shift+ArrowRight");
    await key("Shift+ArrowDown");
    assert.equal(await page.locator(".peg[aria-selected=true]").count(), 4);
    await key("ArrowLeft");
    assert.equal(await page.locator(".peg[aria-selected=true]").count(), 0);

    // A part moved by its buttons, again and again from one place.
    await page.getByRole("button", { name: "Move right body" }).focus();
    await key("Enter");
    await saved(page);
    assert.equal(await focused(), "Move right body");
    await key("Enter");
    await saved(page);

    // Help comes and goes, and the keyboard is where it was.
    await key("?");
    await page.getByRole("heading", { name: "Help and keys" }).waitFor();
    await accessible(page, "help");
    await key("Escape");
    assert.equal(await focused(), "Move right body");

    // The picture lies under the beads while the key is held, and stays after a short press.
    await page.keyboard.down("l");
    assert.equal(await page.locator("#under").getAttribute("aria-pressed"), "true");
    await page.waitForTimeout(450);
    await page.keyboard.up("l");
    assert.equal(await page.locator("#under").getAttribute("aria-pressed"), "false");

    await thereAndBack(page, table, first, (times) => keys(page, "Control+z", times), (times) => keys(page, "Control+y", times));
  });
});

test("by touch, 360 pixels wide", async () => {
  await session(PHONE, async (page, table) => {
    const first = table.read(FIGURE);
    const wide = () => page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.equal(await wide(), 0);
    const choice = (name) => page.locator(`[data-choice="${name}"]`);
    await choice(0).tap();
    await saved(page);
    await answerForAll(page, () => page.locator("#for-all").tap());
    await answerTheRest(page, () => choice(0).tap());
    await peg(page, 1, 6).tap();
    await choice("lift").tap();
    await saved(page);
    assert.equal(await label(peg(page, 1, 6)), "row 1, column 6, empty peg");
    await choice("another").tap();
    await page.locator("#find-bead").fill("poppy");
    await page.locator("#bead-list [role=option]", { hasText: "poppy" }).tap();
    await saved(page);
    assert.match(await label(peg(page, 1, 6)), /poppy, settled by hand/);
    await page.getByRole("button", { name: "Move right body" }).tap();
    await saved(page);
    assert.equal(await wide(), 0);

    // Whatever is pressed is large enough for a finger (WCAG 2.2, 2.5.8: 24 by 24).
    const small = await page.evaluate(() =>
      [...document.querySelectorAll("button, select, input, .peg, [role=option], summary")]
        .map((element) => [element, element.getBoundingClientRect()])
        .filter(([, box]) => box.width > 0 && (box.width < 24 || box.height < 24))
        .map(([element]) => element.outerHTML.slice(0, 80)));
    assert.deepEqual(small, []);
    await accessible(page, "the table at 360 pixels");
    await thereAndBack(page, table, first, (times) => taps(page, "#undo", times), (times) => taps(page, "#redo", times));
  });
});
