// Building and finding elements, and what is spoken.

/** The element with this id. */
export const $ = (id) => document.getElementById(id);

/**
 * A new element. Properties that begin with "on" are listeners, `data` goes to the dataset, properties that an element
 * has are set as such, the rest become attributes. Children are elements or text; null is left out.
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

/** Sets text only where it differs, so that nothing is drawn or spoken again. */
export function text(element, words) {
  if (element.textContent !== words) element.textContent = words;
}

/** Spoken by a screen reader when it has a pause. */
export function say(words) {
  speak($("live"), words);
}

/** Spoken at once: something runs out, or went wrong. */
export function sayNow(words) {
  speak($("urgent"), words);
}

function speak(place, words) {
  place.textContent = "";
  // The same words twice are spoken twice only when the place was empty in between.
  requestAnimationFrame(() => {
    place.textContent = words;
  });
}

/** Whether keys typed here are meant as letters of a name. */
export function isTyping(element) {
  return !!element?.closest("input:not([type=checkbox]):not([type=radio]), select, textarea, dialog");
}

/** A dialog with a heading, opened at once; it is gone when it closes. `build(close)` gives its content. */
export function dialog(title, build, properties = {}) {
  const id = "dialog-title";
  const box = h("dialog", { "aria-labelledby": id, ...properties });
  const close = () => box.close();
  box.append(h("h2", { id, tabIndex: -1 }, title), ...build(close));
  box.addEventListener("close", () => box.remove());
  const back = document.activeElement;
  box.addEventListener("close", () => back?.isConnected && back.focus({ preventScroll: true }));
  document.body.append(box);
  box.showModal();
  box.querySelector("[autofocus]")?.focus();
  return box;
}

/** A key, beside the words of what it does. */
export const kbd = (name) => h("kbd", { "aria-hidden": "true" }, name);

/** A control under its words; it has an id. */
export const field = (words, control) => h("p", { className: "field" }, h("label", { htmlFor: control.id }, words), control);

/** What a dialog asks: sent by one button, left by another. `send` says false where something is missing. */
export const form = (close, words, send, ...fields) =>
  h("form", { method: "dialog", onsubmit: (event) => {
    event.preventDefault();
    if (send() !== false) close();
  } }, ...fields,
    h("div", { className: "dialog-end" }, h("button", { onclick: close }, "Leave it"), h("button", { type: "submit", className: "primary" }, words)));
