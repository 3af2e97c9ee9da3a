// A picture before it is a figure: its part, its sheet, its people and pale places are moved on it, and the draft follows.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { MOUSE, PHONE, accessible, demo, launch, open, ready, saved, serve, session } from "./support.js";

const KEPT = "saved.figure.toml";
let browser;
before(async () => { browser = await launch(); });
after(() => browser.close());

/** Serves a picture, waits for its first draft, runs a session on it, and cleans up. */
const onThePicture = (picture, context, run, prepare = () => {}) => session(browser, { files: picture.from, named: picture.name, context, there: drafted, prepare: async (folder) => {
  await prepare(folder);
  return picture.options;
} }, run);
const LAMP = { name: "lamplighter.png", from: ["lamplighter.png"], options: ["--class", "taller"] };
const FAMILY = { name: "family.png", from: ["family.png"] };

const drafted = async (page) => {
  await page.getByText(/\d+ doubts? to look at/).waitFor();
  await page.locator(".sketch-stage img").waitFor();
};

/** What the next draft is asked, and that it is shown. */
async function asks(page, act) {
  const answered = page.waitForResponse((answer) => answer.url().endsWith("/api/draft"));
  await act();
  const answer = await answered;
  await drafted(page);
  return answer.request().postDataJSON();
}

/** Drags a handle by pixels of the screen. */
async function drag(page, handle, across, down) {
  const box = await handle.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + across / 2, y + down / 2);
  await page.mouse.move(x + across, y + down);
  await page.mouse.up();
}

const grip = (page, name) => page.getByRole("button", { name });
const placeOf = async (handle) => /at (-?\d+), (-?\d+)/.exec(await handle.getAttribute("aria-label")).slice(1).map(Number);

/** Saves the draft; the figure's text. */
async function save(page, folder) {
  await page.getByLabel("Save as").fill("saved");
  await page.getByRole("button", { name: "Save and edit" }).click();
  await ready(page);
  return folder.read(KEPT);
}

test("a part of the picture is chosen by mouse and by keys, and given back", async () => {
  await onThePicture(LAMP, MOUSE, async (page, folder) => {
    const first = await asks(page, () => page.getByRole("button", { name: "Use a part of it" }).click());
    const corner = grip(page, /^Top left corner of the part/);
    const [left, top] = await placeOf(corner);
    assert.deepEqual(first.crop.slice(0, 2), [left, top]);
    const [x, y, width, height] = (await asks(page, () => drag(page, corner, 20, 12))).crop;
    assert.ok(x > left && y > top, `${x}, ${y} after ${left}, ${top}`);
    assert.deepEqual([x + width, y + height], [first.crop[0] + first.crop[2], first.crop[1] + first.crop[3]], "the far corner stays");
    const keyed = await asks(page, async () => {
      await grip(page, /^Bottom right corner of the part/).focus();
      await page.keyboard.press("ArrowLeft");
      await page.keyboard.press("Shift+ArrowUp");
    });
    assert.deepEqual(keyed.crop, [x, y, width - 1, height - 10]);
    await accessible(page, "a part of a picture");
    assert.match(await save(page, folder), /crop = \[/);
  });
});

test("the whole picture is used again", async () => {
  await onThePicture(LAMP, MOUSE, async (page) => {
    await asks(page, () => page.getByRole("button", { name: "Use a part of it" }).click());
    const told = await asks(page, () => page.getByRole("button", { name: "Use the whole picture" }).click());
    assert.equal(told.crop, undefined);
    assert.equal(await page.locator(".grip.part").count(), 0);
  });
});

test("a landmark is dragged by its name, and the line goes as far as the pointer", async () => {
  await onThePicture(LAMP, MOUSE, async (page) => {
    const chin = page.getByRole("slider", { name: "chin" });
    const row = Number(await chin.getAttribute("aria-valuenow"));
    const high = (await page.locator(".sketch-stage").boundingBox()).height;
    const told = await asks(page, () => drag(page, chin.locator(".mark-name"), 0, 9));
    const now = Number(await chin.getAttribute("aria-valuenow"));
    assert.ok(Math.abs(now - row - (9 / high) * 880) <= 1, `from ${row} to ${now}`);
    assert.equal(told.marks, `chin=${now}`);
  });
});

test("who is meant of several people is pressed, and said again", async () => {
  await onThePicture(FAMILY, MOUSE, async (page, folder) => {
    const person = (at) => page.getByRole("button", { name: `Person ${at} of 6` });
    assert.equal(await person(1).getAttribute("aria-pressed"), "true", "the largest is drafted unasked");
    await accessible(page, "several people");
    const told = await asks(page, async () => {
      await person(5).focus();
      await page.keyboard.press("Enter");
    });
    assert.equal(told.person, 4);
    assert.equal(await person(5).getAttribute("aria-pressed"), "true");
    assert.equal((await asks(page, () => person(3).click())).person, 2);
    // A part of the picture begins with the box of who is meant.
    assert.equal((await asks(page, () => page.getByRole("button", { name: "Any of them" }).click())).person, undefined);
    await asks(page, () => person(5).click());
    const [, x] = /crop = \[(\d+)/.exec(await save(page, folder));
    assert.ok(Number(x) > 850 && Number(x) < 1000, `${x}`);
  });
});

/** A sheet on a table, seen aslant, as a telephone would see it. */
async function sheetPicture(folder) {
  const page = await browser.newPage({ viewport: { width: 900, height: 900 } });
  const drawing = readFileSync(folder.at("lamplighter.png")).toString("base64");
  await page.setContent(`<body style="margin:0;background:#6b4a33;perspective:1600px;overflow:hidden"><div style="position:absolute;left:190px;top:90px;width:520px;height:700px;background:#f4f2ee;transform:rotateX(14deg) rotateZ(-4deg);display:grid;place-items:center"><img src="data:image/png;base64,${drawing}" style="height:560px;mix-blend-mode:multiply"></div>`);
  await page.waitForFunction(() => document.querySelector("img").naturalWidth > 0);
  writeFileSync(folder.at("sheet.png"), await page.screenshot());
  await page.close();
}

test("the sheet is shown as found, a corner dragged, and found again", async () => {
  const picture = { name: "sheet.png", from: ["lamplighter.png"] };
  await onThePicture(picture, MOUSE, async (page, folder) => {
    const corner = grip(page, /^Top right corner of the sheet/);
    const [x, y] = await placeOf(corner);
    assert.ok(x > 600 && y < 200, `${x}, ${y}`);
    const told = await asks(page, () => drag(page, corner, -6, 4));
    assert.equal(told.corners.length, 4);
    assert.ok(told.corners[1][0] < x && told.corners[1][1] > y, `${told.corners}`);
    await accessible(page, "a sheet");
    assert.equal((await asks(page, () => page.getByRole("button", { name: "Find the sheet again" }).click())).corners, undefined);
    assert.deepEqual(await placeOf(corner), [x, y]);
    await asks(page, async () => {
      await corner.focus();
      await page.keyboard.press("ArrowLeft");
    });
    assert.match(await save(page, folder), /corners = \[/);
  }, sheetPicture);
});

test("a sheet is set where none was found", async () => {
  await onThePicture(LAMP, MOUSE, async (page) => {
    const told = await asks(page, () => page.getByRole("button", { name: "Set the sheet’s corners" }).click());
    assert.equal(told.corners.length, 4);
    assert.equal(await page.locator(".grip.sheet").count(), 4);
  });
});

/** A blue figure with a white place shut in. */
async function palePicture(folder) {
  const page = await browser.newPage({ viewport: { width: 300, height: 500 } });
  await page.setContent(`<body style="margin:0;background:#fcfcfc"><div style="position:absolute;left:60px;top:40px;width:180px;height:420px;background:#1e3c8c"><div style="position:absolute;left:50px;top:110px;width:80px;height:180px;background:#fcfcfc">`);
  writeFileSync(folder.at("pale.png"), await page.screenshot());
  await page.close();
}

test("a pale place is answered, moved, and another pointed at", async () => {
  const picture = { name: "pale.png", from: [], options: ["--rows", "20"] };
  await onThePicture(picture, MOUSE, async (page) => {
    const question = page.getByRole("group", { name: /^Pale place 1/ });
    const answered = await asks(page, () => question.getByLabel("Background").check());
    assert.equal(answered.ground.length, 1);
    const [x, y] = answered.ground[0];
    const moved = await asks(page, async () => {
      await grip(page, /^Pale place 1, at/).focus();
      await page.keyboard.press("ArrowLeft");
      await page.keyboard.press("ArrowDown");
    });
    assert.deepEqual(moved.ground, [[x - 1, y + 1]]);
    assert.match(await page.evaluate(() => document.activeElement.getAttribute("aria-label")), /^Pale place 1/, "the handle keeps the focus");
    await page.getByRole("button", { name: "Point at a pale place" }).click();
    assert.match(await page.evaluate(() => document.activeElement.getAttribute("aria-label")), /^Pale place 2/);
    await accessible(page, "pale places");
    assert.deepEqual((await asks(page, () => question.getByLabel("Not sure").check())).ground, []);
  }, palePicture);
});

test("the last answer wins: an older one is dropped", async () => {
  await onThePicture(LAMP, MOUSE, async (page) => {
    let held;
    await page.route("**/api/draft", async (route) => {
      if (held) return route.continue();
      const answer = await route.fetch();
      await new Promise((go) => { held = go; });
      return route.fulfill({ response: answer });
    });
    const class_ = page.getByLabel("How tall");
    await class_.selectOption("small-child");
    await page.waitForTimeout(100);
    await class_.selectOption("child");
    await class_.selectOption("very-tall");
    for (let tries = 0; !held && tries < 100; tries += 1) await page.waitForTimeout(100);
    held();
    await drafted(page);
    const rows = Number(/(\d+) rows/.exec(await page.locator(".draft-frame canvas").getAttribute("aria-label"))[1]);
    assert.ok(rows >= 25, `${rows} rows are those of who was asked for last`);
  });
});

test("by touch on a narrow screen a corner follows the finger and the page stays", async () => {
  await onThePicture(LAMP, PHONE, async (page) => {
    await asks(page, () => page.getByRole("button", { name: "Use a part of it" }).tap());
    const corner = grip(page, /^Top left corner of the part/);
    await corner.scrollIntoViewIfNeeded();
    const [box, scrolled] = [await corner.boundingBox(), await page.evaluate(() => scrollY)];
    const before = await placeOf(corner);
    const touch = await page.context().newCDPSession(page);
    const at = (by) => [{ x: box.x + box.width / 2 + by, y: box.y + box.height / 2 + by }];
    const told = await asks(page, async () => {
      await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: at(0) });
      for (const by of [4, 8, 12, 16]) await touch.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: at(by) });
      await touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
    });
    assert.ok(told.crop[0] > before[0] && told.crop[1] > before[1], `${told.crop} after ${before}`);
    assert.equal(await page.evaluate(() => scrollY), scrolled);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "nothing reaches beyond the screen");
    await accessible(page, "a part, narrow");
  });
});

test("a lost reference is said, and another picture given and taken back", async () => {
  const folder = demo("milk-carter.figure.toml", "milk-carter.png");
  const figure = folder.at("milk-carter.figure.toml");
  writeFileSync(figure, folder.read("milk-carter.figure.toml").replace('"milk-carter.png"', '"gone.png"'));
  const server = await serve(figure);
  const { page, close, fine } = await open(browser, server.address);
  await page.getByText("Its picture was looked for as gone.png").waitFor();
  await page.locator("#board [role=gridcell]").first().waitFor();
  assert.ok(await page.locator("#reference-frame").isHidden());
  await accessible(page, "a lost picture");
  await page.getByLabel("Its picture in this folder").selectOption("milk-carter.png");
  await page.getByRole("button", { name: "Use it" }).click();
  await ready(page);
  assert.match(folder.read("milk-carter.figure.toml"), /picture = "milk-carter.png"/);
  await page.locator("#undo").click();
  await saved(page);
  await page.getByText("Its picture was looked for as gone.png").waitFor();
  fine();
  await close();
  await server.stop();
  folder.remove();
});

test("no broken picture stands there while one is loading", async () => {
  const folder = demo("milk-carter.figure.toml", "milk-carter.png");
  for (const [file, image, call] of [["milk-carter.figure.toml", "#reference-frame img", "reference"], ["milk-carter.png", ".sketch-stage img", "picture"]]) {
    const server = await serve(folder.at(file));
    const own = await browser.newContext(MOUSE);
    let go;
    const held = new Promise((letGo) => { go = letGo; });
    await own.route(`**/api/${call}*`, async (route) => { await held; await route.continue(); });
    const page = await own.newPage();
    const asked = page.waitForRequest(`**/api/${call}*`);
    await page.goto(server.address);
    await asked;
    assert.ok(await page.locator(image).isHidden());
    go();
    await page.locator(image).waitFor();
    assert.ok(await page.locator(image).evaluate((one) => one.naturalWidth > 0));
    await own.close();
    await server.stop();
  }
  folder.remove();
});
