// The hands of a maker, by mouse, by keyboard and by touch, and how much each of them does.
import { saved } from "./support.js";

/** The peg at a row and column, counted from 1. */
export const peg = (page, [row, column]) => page.locator(`#board [role=row]:nth-child(${row + 1}) [role=gridcell]:nth-of-type(${column + 1})`);

/** A bead of the tray, by its name. */
export const inTray = (page, bead) => page.locator("#bead-list [role=option]").filter({ has: page.getByText(bead, { exact: true }) });

/** Places from one corner to the other; a single one without the second. */
export const from = (first, last = first) => [first, last];

/** Counts what a maker does. */
function counted(does) {
  let count = 0;
  const act = async (...each) => {
    for (const one of each) {
      await one();
      count += 1;
    }
  };
  return { count: () => count, ...does(act) };
}

/** Whether a question is about more than this peg, and would be answered for all of them. */
const asksForAll = (page) => page.locator("#for-one:not(:checked)").isVisible();
const add = ([row, column], [down, right]) => [row + down, column + right];
const isOne = ([first, last]) => String(first) === String(last);
/** The straight lines of a block, along its longer side. */
function lines([[top, left], [bottom, right]]) {
  const each = (first, last, make) => Array.from({ length: last - first + 1 }, (_, at) => make(first + at));
  return bottom - top > right - left
    ? each(left, right, (column) => from([top, column], [bottom, column]))
    : each(top, bottom, (row) => from([row, left], [row, right]));
}

export function mouse(page) {
  const to = async (at, moves) => {
    const box = await peg(page, at).boundingBox();
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2, moves);
  };
  const drag = (first, last) => async () => {
    await to(first);
    await page.mouse.down();
    await to(last, { steps: 12 });
    await page.mouse.up();
    await saved(page);
  };
  const press = (at, options) => () => peg(page, at).click(options).then(() => saved(page));
  const key = (name) => () => page.keyboard.press(name).then(() => saved(page));
  const take = (bead) => () => inTray(page, bead).click();
  const stroke = ([first, last]) => (isOne([first, last]) ? press(first) : drag(first, last));
  return counted((act) => ({
    // The next bead that is taken takes the place of this one.
    lay: (bead, blocks) => act(take(bead), ...blocks.flatMap(lines).map(stroke)),
    async lift(blocks) {
      for (const block of blocks) {
        await act(stroke(block));
        if (await asksForAll(page)) await act(key("a"));
        await act(key("Delete"));
      }
    },
    patch: (at, by) => act(() => peg(page, at).dblclick(), drag(at, add(at, by))),
    fill: (bead, places) => act(take(bead), ...places.map((at) => press(at, { modifiers: ["Shift"] }))),
    async copy(first, last, by) {
      await act(drag(first, last));
      await page.keyboard.down("Control");
      await act(drag(first, add(first, by)));
      await page.keyboard.up("Control");
    },
    mirror: (first, last) => act(drag(first, last), key("m")),
    block: (first, last, by) => act(drag(first, last), drag(first, add(first, by))),
  }));
}

// Rows that a page of the figure is.
const PAGE = 5;

export function keyboard(page) {
  const now = () => page.evaluate(() => /^row (\d+), column (\d+)/.exec(document.querySelector(".peg.now").getAttribute("aria-label")).slice(1).map(Number));
  const key = (name) => () => page.keyboard.press(name).then(() => saved(page));
  const times = (name, count) => Array(count).fill(name);
  /** The fewest keys for so many rows, or columns. */
  const rows = (by) => {
    const way = by < 0 ? "Up" : "Down";
    const pages = Math.round(Math.abs(by) / PAGE);
    const rest = Math.abs(by) - pages * PAGE;
    return [...times(`Page${way}`, pages), ...times(rest < 0 ? `Arrow${way === "Up" ? "Down" : "Up"}` : `Arrow${way}`, Math.abs(rest))];
  };
  const columns = (by) => times(by < 0 ? "ArrowLeft" : "ArrowRight", Math.abs(by));
  const keys = ([down, right], held = "") => [...rows(down), ...columns(right)].map((name) => key(`${held}${name}`));
  return counted((act) => {
    const go = async ([row, column]) => {
      const [r, c] = await now();
      const home = ["Home", ...columns(column - 1)];
      const across = home.length < Math.abs(column - c) ? home : columns(column - c);
      await act(...[...rows(row - r), ...across].map(key));
    };
    const choose = async ([first, last]) => {
      await go(first);
      await act(...keys([last[0] - first[0], last[1] - first[1]], "Shift+"));
    };
    const find = async (bead) => {
      for (const letter of bead) {
        if (await inTray(page, bead).first().evaluate((item) => item === item.parentElement.firstElementChild).catch(() => false)) break;
        await act(key(letter));
      }
      await act(key("Enter"));
    };
    const carry = async (by) => {
      await page.keyboard.down("Alt");
      await act(...keys(by));
      await page.keyboard.up("Alt");
      await saved(page);
    };
    return {
      begin: () => act(key("Tab"), key("Enter")),
      async lay(bead, blocks) {
        if (blocks.length === 1) {
          await choose(blocks[0]);
          await act(key("b"));
          return find(bead);
        }
        // The tray is the next stop after the figure.
        await act(key("Tab"));
        await find(bead);
        await act(key("Shift+Tab"));
        for (const block of blocks) {
          await choose(block);
          await act(key("Space"));
        }
      },
      async lift(blocks) {
        for (const block of blocks) {
          await choose(block);
          if (isOne(block) && (await asksForAll(page))) await act(key("a"));
          await act(key("Delete"));
        }
      },
      async patch(at, by) {
        await go(at);
        await act(key("t"));
        await carry(by);
      },
      async fill(bead, places, like) {
        if (!like) {
          await go(places[0]);
          await act(key("t"), key("b"));
          return find(bead);
        }
        await go(like);
        await act(key("h"));
        for (const at of places) {
          await go(at);
          await act(key("Shift+Space"));
        }
      },
      async copy(first, last, by) {
        await choose(from(first, last));
        await act(key("Control+c"));
        await go(add(first, by));
        await act(key("Control+v"));
      },
      async mirror(first, last) {
        await choose(from(first, last));
        await act(key("m"));
      },
      async block(first, last, by) {
        await choose(from(first, last));
        await carry(by);
      },
    };
  });
}

export function touch(page) {
  const tap = (locator) => () => locator.tap().then(() => saved(page));
  const press = (at) => tap(peg(page, at));
  const does = (name) => tap(page.locator(`#doubt [data-does="${name}"]`));
  const take = (bead) => tap(inTray(page, bead));
  const patches = tap(page.getByRole("button", { name: "Whole patch" }));
  const pegsOf = (block) => lines(block).flatMap(([[top, left], [bottom, right]]) =>
    Array.from({ length: Math.max(bottom - top, right - left) + 1 }, (_, at) => (bottom > top ? [top + at, left] : [top, left + at])));
  return counted((act) => {
    const more = async () => {
      if (!(await page.locator("#doubt details[open]").count())) await act(tap(page.locator("#doubt summary")));
    };
    const chosen = async (first, last) => {
      await act(press(first));
      await more();
      await act(does("block"), press(last));
    };
    // As long as a maker who wants one step waits after an arrow; the page says that it is saved before that.
    const carry = async ([down, right]) => {
      const before = await page.locator("#undo").getAttribute("aria-label");
      await act(tap(page.getByRole("button", { name: `Move ${down < 0 ? "up" : down > 0 ? "down" : right < 0 ? "left" : "right"}`, exact: true }).first()));
      await page.waitForFunction((was) => document.getElementById("undo").getAttribute("aria-label") !== was, before);
      await saved(page);
    };
    return {
      // A finger that was dragged moved the page.
      async lay(bead, blocks) {
        await act(take(bead), ...blocks.flatMap(pegsOf).map(press));
      },
      async lift(blocks) {
        for (const at of blocks.flatMap(pegsOf)) {
          await act(press(at));
          if (await asksForAll(page)) await act(tap(page.locator("#for-one")));
          await act(tap(page.locator("[data-choice=lift]")));
        }
      },
      async patch(at, by) {
        await act(press(at));
        await more();
        await act(does("touching"));
        await carry(by);
      },
      async fill(bead, places) {
        await act(take(bead), patches, ...places.map(press), patches);
      },
      async copy(first, last, by) {
        await chosen(first, last);
        await act(does("copy"), press(add(first, by)));
        await more();
        await act(does("paste"));
      },
      async mirror(first, last) {
        await chosen(first, last);
        await act(does("mirror"));
      },
      async block(first, last, by) {
        await chosen(first, last);
        await carry(by);
      },
    };
  });
}
