// What every test of the page needs: a folder with the demo, the program serving it, a browser, and eyes.
import { spawn } from "node:child_process";
import { createRequire } from "node:module";
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import assert from "node:assert/strict";
import { chromium } from "playwright-core";

export const ROOT = join(dirname(fileURLToPath(import.meta.url)), "..", "..");
export const PROGRAM = process.env.SMALLCAST ?? join(ROOT, "target", "debug", "smallcast");
const BROWSER = process.env.CHROMIUM ?? "/usr/bin/chromium";
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export const MOUSE = { viewport: { width: 1440, height: 900 } };
export const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 };

/** A folder whose files of the page are shown instead of those built in: the page is worked on without a build. */
const ASSETS = process.env.PAGE_ASSETS;
const KINDS = { ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".html": "text/html" };

const fromFolder = (context) => context.route("**/*", async (route) => {
  const name = new URL(route.request().url()).pathname.slice(1) || "index.html";
  if (name.startsWith("api/") || !existsSync(join(ASSETS, name))) return route.continue();
  return route.fulfill({ body: readFileSync(join(ASSETS, name)), contentType: KINDS[extname(name)] });
});

// A slow machine gets its time; a lost element does not hold the tests up for ever.
const PATIENCE = 30000;

export const launch = () =>
  chromium.launch({
    executablePath: BROWSER,
    args: ["--no-sandbox", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"],
  });

/** Where a file comes from: a figure with doubts is kept for the tests, for drafts of the demo change. */
const source = (file) => {
  const kept = join(ROOT, "fixtures", "page", file);
  return existsSync(kept) ? kept : join(ROOT, "demo", "early-street", file);
};

/** A folder of its own with the named files of the demo. */
export function demo(...files) {
  const folder = mkdtempSync(join(tmpdir(), "smallcast-page-"));
  for (const file of files) cpSync(source(file), join(folder, file));
  return { folder, at: (file) => join(folder, file), read: (file) => readFileSync(join(folder, file), "utf8"), remove: () => rmSync(folder, { recursive: true }) };
}

/** How many steps a figure of such a folder has behind it. */
export const stepsOf = (table, file) => Number(/^done = (\d+)$/m.exec(table.read(file.replace(".figure", ".history")))[1]);

/** Starts the program on a path; gives the address it prints. */
export async function serve(path, ...options) {
  const child = spawn(PROGRAM, ["edit", path, "--no-browser", ...options], { stdio: ["ignore", "pipe", "pipe"] });
  let told = "";
  let address;
  await new Promise((found, failed) => {
    const hear = (bytes) => {
      told += bytes;
      address = /http:\/\/127\.0\.0\.1:\d+\/#\S+/.exec(told)?.[0];
      if (address) found();
    };
    child.stdout.on("data", hear);
    child.stderr.on("data", hear);
    child.on("error", failed);
    child.on("exit", (code) => failed(new Error(`smallcast edit ended with ${code}: ${told}`)));
  });
  return { address, stop: () => new Promise((ended) => { child.on("exit", ended); child.kill(); }) };
}

/** A page of the program in a context of its own; what it loads from elsewhere and what goes wrong in it fails the test. */
export async function open(browser, address, context = MOUSE) {
  const own = await browser.newContext({ ...context, reducedMotion: "reduce" });
  if (ASSETS) await fromFolder(own);
  const page = await own.newPage();
  page.setDefaultTimeout(PATIENCE);
  const origin = new URL(address).origin;
  const wrong = [];
  page.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith(`${origin}/`) && !url.startsWith(`blob:${origin}/`)) wrong.push(`asked ${url}`);
  });
  page.on("pageerror", (error) => wrong.push(`${error}`));
  page.on("console", (message) => {
    // A refused change (409, 422) is an answer; the browser notes it as an error all the same.
    if (message.type() === "error" && !/status of 4(09|22)/.test(message.text())) wrong.push(message.text());
  });
  await page.goto(address);
  return { page, wrong, close: () => own.close(), fine: () => assert.deepEqual(wrong, []) };
}

/**
 * Serves files of the demo in a folder of their own, named the first of them unless another is, waits until `there(page)`, runs a session
 * on it, and cleans up. `prepare(folder)` may lay more files there and give options of the program.
 */
export async function session(browser, { files, named = files[0], context = MOUSE, there = ready, prepare = () => [] }, run) {
  const folder = demo(...files);
  const server = await serve(folder.at(named), ...((await prepare(folder)) ?? []));
  const shown = await open(browser, server.address, context);
  try {
    await there(shown.page);
    await run(shown.page, folder);
    shown.fine();
  } finally {
    await shown.close();
    await server.stop();
    folder.remove();
  }
}

/** Waits until the table stands there, its reference read. */
export async function ready(page) {
  await page.locator("#board [role=gridcell]").first().waitFor();
  await page.waitForFunction(() => document.body.classList.contains("ready"));
  // The reference is read after the table stands there.
  await page.waitForFunction(() => document.querySelector("#reference-frame img")?.naturalWidth > 0);
  await saved(page);
}

/** Waits until every step is on disk. */
export const saved = (page) => page.waitForFunction(() => document.getElementById("saved").textContent === "Saved");

/** How many doubts are left. */
export async function doubtsLeft(page) {
  const words = await page.locator("#left").textContent();
  return Number(/^(\d+) doubts? left/.exec(words)?.[1] ?? 0);
}

/** Nothing that axe-core finds (WCAG 2.2 AA and its best practice); the page's policy lets in no foreign script but this way. */
export async function accessible(page, where) {
  const found = await page.evaluate(
    async ([source, rules]) => {
      if (!globalThis.axe) (0, eval)(source);
      return (await globalThis.axe.run(document, { runOnly: rules })).violations.map((one) => `${one.id}: ${one.help}: ${one.nodes.map((node) => node.target.join(" ")).slice(0, 4).join(", ")}`);
    },
    [AXE, ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]],
  );
  assert.deepEqual(found, [], `axe-core at: ${where}`);
}
