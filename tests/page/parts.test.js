// Parts: made of what is chosen, opened, named, hidden, laid under one another; what a choice would look like; and beads
// of the tray, owned and not.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { MOUSE, PHONE, accessible, doubtsLeft, launch, open, saved, session } from "./support.js";

const FIGURE = "milk-carter.figure.toml";
let browser;
before(async () => { browser = await launch(); });
after(() => browser.close());

/** The figure on the table, by a tray of its own where one is given. */
const atTheTable = (context, run, tray) => session(browser, { files: [FIGURE, "milk-carter.png"], context, prepare: (folder) => {
  if (!tray) return [];
  writeFileSync(folder.at("tray.csv"), tray);
  return ["--tray", folder.at("tray.csv")];
} }, run);

const peg = (page, row, column) => page.locator(`#board [role=row]:nth-child(${row + 1}) [role=gridcell]:nth-of-type(${column + 1})`);
const label = (locator) => locator.getAttribute("aria-label");
const does = (page, what) => page.locator(`[data-does="${what}"]`);
const colour = (locator) => locator.locator(".bead").evaluate((bead) => getComputedStyle(bead).getPropertyValue("--bead"));

/** Chooses a block by the keyboard, as it is on every screen. */
async function choose(page, [row, column], down, right) {
  await peg(page, row, column).focus();
  for (let step = 0; step < down; step += 1) await page.keyboard.press("Shift+ArrowDown");
  for (let step = 0; step < right; step += 1) await page.keyboard.press("Shift+ArrowRight");
}

for (const [name, context] of [["1440", MOUSE], ["360", PHONE]]) {
  test(`what is chosen becomes a part, and beads laid while it is open go into it, ${name}`, async () => {
    await atTheTable(context, async (page, table) => {
      const press = (locator) => (context.hasTouch ? locator.tap() : locator.click());
      await choose(page, [1, 5], 1, 3);
      await page.locator(".peg[aria-selected=true]").first().waitFor();
      const beads = await page.locator(".peg[aria-selected=true]:not(.empty)").count();
      await press(does(page, "new"));
      await page.getByRole("heading", { name: `A part of ${beads} beads` }).waitFor();
      await accessible(page, `naming a part, ${name}`);
      await page.locator("#part-name").fill("wool hat");
      await press(page.getByRole("button", { name: "Make it" }));
      await saved(page);
      await page.locator("#open-part", { hasText: "wool hat is open: beads you lay go into it." }).waitFor();
      assert.equal(await does(page, "open wool hat").getAttribute("aria-pressed"), "true");
      assert.equal(await page.locator(".peg:not(.empty):not(.aside)").count(), beads);
      assert.match(await label(peg(page, 20, 7)), /, of body$/);
      await accessible(page, `a part is open, ${name}`);

      await peg(page, 1, 1).focus();
      await page.keyboard.press("b");
      await page.keyboard.type("poppy");
      await page.keyboard.press("Enter");
      await saved(page);
      assert.match(table.read(FIGURE.replace("figure", "history")), /place 1,1 poppy in \\?"wool hat/);
      assert.equal(await page.locator(".peg:not(.empty):not(.aside)").count(), beads + 1);

      // Only what is of the open part is lifted.
      const figure = table.read(FIGURE);
      await peg(page, 20, 7).focus();
      await page.keyboard.press("Delete");
      await page.getByText("No bead of wool hat lies there.").waitFor({ state: "attached" });
      assert.equal(table.read(FIGURE), figure);

      // An answer is for what lies there, whatever part is open.
      await page.keyboard.press("n");
      await page.keyboard.press("1");
      await saved(page);
      assert.match(await page.locator("#undo").getAttribute("aria-label"), /^Undo: /);
      assert.equal(await page.locator(".peg:not(.empty):not(.aside)").count(), beads + 1);

      await page.keyboard.press("Escape");
      await page.locator("#open-part").waitFor({ state: "hidden" });
      assert.equal(await page.locator(".peg.aside").count(), 0);
    });
  });
}

test("a part is named, hidden, and laid under another, by keyboard", async () => {
  await atTheTable(MOUSE, async (page) => {
    await choose(page, [1, 5], 0, 2);
    await page.keyboard.press("w");
    await page.keyboard.type("hat");
    await page.keyboard.press("Enter");
    await saved(page);
    await page.keyboard.press("Escape");
    const order = () => page.locator(".parts li label").evaluateAll((labels) => labels.map((label) => label.firstChild.textContent));
    assert.deepEqual(await order(), ["hat", "body"]);
    const enter = async (what) => {
      await does(page, what).focus();
      await page.keyboard.press("Enter");
      await saved(page);
    };
    await enter("change hat");
    await enter("under hat");
    assert.deepEqual(await order(), ["body", "hat"]);
    // The keyboard is where it was: on the same button, or where it can go no further beside it.
    assert.notEqual(await page.evaluate(() => document.activeElement.tagName), "BODY");
    await enter("call hat");
    await page.keyboard.press("Control+a");
    await page.keyboard.type("wool cap");
    await page.keyboard.press("Enter");
    await saved(page);
    assert.deepEqual(await order(), ["body", "wool cap"]);
    await page.locator(".parts input[type=checkbox]").last().focus();
    const beads = await page.locator(".peg:not(.empty)").count();
    await page.keyboard.press("Space");
    assert.ok((await page.locator(".peg:not(.empty)").count()) <= beads);
    await accessible(page, "parts");
  });
});

test("looking at a choice shows its beads on the board, and nothing is done", async () => {
  await atTheTable(MOUSE, async (page, table) => {
    const first = table.read(FIGURE);
    const left = await doubtsLeft(page);
    assert.match(await page.locator(".question").textContent(), /^.+: .+ or .+\? \d+ beads? /);
    assert.match(await page.locator(".why").textContent(), /^Why: .+\.$/);
    const ringed = page.locator(".peg.preview");
    assert.ok((await ringed.count()) > 1);
    const was = await colour(ringed.first());
    const other = page.locator("[data-choice='1']");
    await other.hover();
    const swatch = await other.locator(".swatch").evaluate((dot) => dot.style.getPropertyValue("--bead"));
    assert.equal(await page.locator(".peg.ghost").count(), await ringed.count());
    assert.equal(await colour(ringed.first()), swatch);
    await page.mouse.move(2, 2);
    assert.equal(await page.locator(".peg.ghost").count(), 0);
    assert.equal(await colour(ringed.first()), was);
    await other.focus();
    assert.equal(await colour(ringed.first()), swatch);
    assert.equal(table.read(FIGURE), first);
    assert.equal(await doubtsLeft(page), left);
    // The bar counts questions and nothing else.
    assert.equal(await page.locator("#done").evaluate((bar) => bar.max), left);
    assert.equal(await page.locator("#done").evaluate((bar) => bar.value), 0);
  });
});

// The fixture's beads, chestnut few; teal is not among them.
const OWN = `name,hex,count\n${"chestnut 7a4a2b,fawn b98159,dove bcbebf,milk efe8d8,poppy da2a2c,denim 4a6b98,moss 66702f,coal 1f2023,mustard c99a20,chalk f7f7f4,peat 3b2a20,flax d8c08a,wine 6b1430".split(",").map((bead) => `${bead.replace(" ", ",")},60\n`).join("")}`;

for (const [name, context] of [["1440", MOUSE], ["360", PHONE]]) {
  test(`the tray counts down as beads are laid, and says what is not owned, ${name}`, async () => {
    await atTheTable(context, async (page, table) => {
      const item = (bead) => page.locator(`#bead-list [data-bead="${bead}"] .owned`);
      const left = async (bead) => Number(/(\d+) left/.exec(await item(bead).textContent())[1]);
      const lay = async (bead, row, column) => {
        await peg(page, row, column).focus();
        await page.keyboard.press("b");
        await page.keyboard.type(bead);
        await page.keyboard.press("Enter");
        await saved(page);
      };
      const before = await left("chestnut");
      await lay("chestnut", 1, 1);
      assert.equal(await left("chestnut"), before - 1);

      // Beads that nobody owns are asked for, and told by a sign and words.
      assert.equal(await item("teal").count(), 0);
      await page.locator("#to-try").check();
      assert.equal((await item("teal").textContent()).trim(), "◌ not owned");
      await lay("teal", 2, 1);
      assert.match(await label(peg(page, 2, 1)), /, teal, settled by hand, not owned$/);
      assert.match(await item("teal").textContent(), /1 laid, not owned/);
      assert.match(await page.locator("#short").textContent(), /^teal is not owned: 1 needed$/);
      assert.match(table.read(FIGURE), /bead = "teal"\naim = /);
      await accessible(page, `a bead that is not owned, ${name}`);
    }, OWN);
  });
}

test("a part that is moved away says which gaps it leaves, and a mirror that changes nothing makes no step", async () => {
  await atTheTable(MOUSE, async (page) => {
    const noted = page.locator("#noted");
    const heard = () => page.locator("#live").textContent();
    // The first row of his cap, whole.
    await choose(page, [1, 1], 0, 12);
    await page.keyboard.press("w");
    await page.keyboard.type("cap");
    await page.keyboard.press("Enter");
    await saved(page);
    assert.ok(await noted.isHidden());
    await does(page, "change cap").click();
    await page.getByRole("button", { name: "Move up cap" }).click();
    await saved(page);
    assert.match(await noted.textContent(), /\d+ pegs? between beads became empty/);
    assert.equal(await heard(), await noted.textContent());
    await accessible(page, "gaps");
    await page.keyboard.press("Control+z");
    await saved(page);
    assert.ok(await noted.isHidden());
    // Chosen no more, and closed.
    for (const open of [page.locator(".peg.chosen").first(), page.locator("#open-part")]) {
      await page.keyboard.press("Escape");
      await open.waitFor({ state: "hidden" });
    }
    // Two alike side by side.
    const last = await page.locator("#undo").getAttribute("aria-label");
    const alike = await page.evaluate(() => [...document.querySelectorAll(".peg:not(.empty)")].findIndex((peg) => peg.textContent === peg.nextElementSibling?.textContent));
    await page.locator(".peg:not(.empty)").nth(alike).focus();
    await page.keyboard.press("Shift+ArrowRight");
    await page.keyboard.press("m");
    await saved(page);
    await page.locator("#noted", { hasText: "That changes nothing." }).waitFor();
    assert.equal(await heard(), "That changes nothing.");
    assert.equal(await page.locator("#undo").getAttribute("aria-label"), last);
    assert.ok(await page.locator("#trouble").isHidden());
  });
});

test("the parts and the steps stand beside the board, and a refusal speaks plainly", async () => {
  await atTheTable(MOUSE, async (page) => {
    const bottom = (locator) => locator.evaluate((it) => it.getBoundingClientRect().bottom);
    for (const place of [page.locator(".parts li").first(), does(page, "new"), page.locator("#past-title"), page.locator("#past-body").locator("> *")]) {
      assert.ok((await bottom(place)) <= MOUSE.viewport.height, `${await place.evaluate((it) => it.outerHTML.slice(0, 60))} ends at ${await bottom(place)}`);
    }
    // A second part called body is refused, in words without a line of changes.
    await choose(page, [1, 5], 0, 2);
    await page.keyboard.press("w");
    await page.keyboard.type("body");
    await page.keyboard.press("Enter");
    // It is said where the name is typed, which stays to be mended.
    await page.locator("dialog .hint", { hasText: "There is already a part body." }).waitFor();
    assert.equal(await page.locator("#part-name").inputValue(), "body");
    await page.keyboard.press("Escape");
  });
});
