// Elements made and found, and what is spoken.

export const $ = (id) => document.getElementById(id);

/**
 * A new element. Properties that begin with "on" are listeners, `data` goes to the dataset, those an element has are set,
 * the rest become attributes. Of its children null is left out.
 */
export function h(tag, properties = {}, ...children) {
  const element = document.createElement(tag);
  // A button sends no form unless it says so.
  if (tag === "button") element.type = "button";
  for (const [name, value] of Object.entries(properties)) {
    if (value === undefined || value === null) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "data") Object.assign(element.dataset, value);
    else if (name in element && name !== "list" && name !== "role") element[name] = value;
    else element.setAttribute(name, value);
  }
  element.append(...children.flat().filter((child) => child !== null && child !== undefined));
  return element;
}

// Text is set only where it differs: nothing is drawn or spoken twice.
export function text(element, words) {
  if (element.textContent !== words) element.textContent = words;
}

export const say = (words) => speak($("live"), words);

// Spoken at once: something runs out, or went wrong.
export const sayNow = (words) => speak($("urgent"), words);

function speak(place, words) {
  // The same words are spoken again only where the place was empty in between.
  const again = place.textContent === words;
  place.textContent = again ? "" : words;
  if (again) requestAnimationFrame(() => { place.textContent ||= words; });
}

// Whether keys typed here are meant as letters.
export const isTyping = (element) => !!element?.closest("input:not([type=checkbox]):not([type=radio]), select, textarea, dialog");

// A dialog with a heading, open until it is closed. `build(close)` gives its content.
export function dialog(title, build, properties = {}) {
  const id = "dialog-title";
  const box = h("dialog", { "aria-labelledby": id, ...properties });
  box.append(h("h2", { id, tabIndex: -1 }, title), ...build(() => box.close()));
  box.addEventListener("close", () => box.remove());
  document.body.append(box);
  box.showModal();
  return box;
}

export const kbd = (name) => h("kbd", { "aria-hidden": "true" }, name);
export const hint = (...words) => h("p", { className: "hint" }, ...words);
export const more = (...buttons) => h("div", { className: "more" }, ...buttons);

export const press = (does, words, onclick, ...rest) => h("button", { className: "small", data: { does }, onclick }, words, ...rest);

export const pick = (id, options, properties = {}) =>
  h("select", { id, ...properties }, options.map((option) => (typeof option === "string" ? h("option", {}, option) : h("option", { value: option[0] }, option[1]))));

export const field = (words, control) => h("p", { className: "field" }, h("label", { htmlFor: control.id }, words), control);

export const tick = (box, ...words) => h("p", { className: "tick" }, box, h("label", { htmlFor: box.id }, ...words));
export const box = (id, properties = {}) => h("input", { id, type: "checkbox", ...properties });
export const line = (id, properties = {}) => h("input", { id, type: "text", autocomplete: "off", ...properties });

export const end = (...buttons) => h("div", { className: "dialog-end" }, ...buttons);

// What a dialog asks. `send` says false where it stays open.
export const form = (close, words, send, ...fields) =>
  h("form", { method: "dialog", onsubmit: async (event) => {
    event.preventDefault();
    if ((await send()) !== false) close();
  } }, ...fields, end(h("button", { onclick: close }, "Cancel"), h("button", { type: "submit", className: "primary" }, words)));

// New content in a place; the keyboard stays on the same button, or beside it.
export function redraw(place, ...content) {
  const had = place.contains(document.activeElement) && document.activeElement;
  place.replaceChildren(...content.flat());
  if (had) (place.querySelector(`[data-does="${CSS.escape(had.dataset.does ?? "")}"]:not(:disabled)`) ?? place.querySelector('[data-choice="0"]') ?? place.querySelector("button, input"))?.focus({ preventScroll: true });
}
