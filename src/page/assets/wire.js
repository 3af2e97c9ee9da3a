// Talking with the program on this machine. Nothing else is ever asked.

const KEPT = "smallcast.token";

/** Takes the secret out of the address, so that it stays in no history; false where there is none. */
export function takeToken() {
  const fragment = location.hash.slice(1);
  if (fragment && !fragment.includes("=")) {
    sessionStorage.setItem(KEPT, fragment);
    history.replaceState(null, "", location.pathname);
  }
  return !!sessionStorage.getItem(KEPT);
}

/** What went wrong, in words: what, and what to do next. */
export class Trouble extends Error {
  constructor(what, hint, status, body) {
    super(what);
    this.hint = hint;
    this.status = status;
    this.body = body;
  }

  /** Both, as sentences. */
  get words() {
    return [this.message, this.hint].filter(Boolean).map((words) => words.charAt(0).toUpperCase() + words.slice(1).replace(/[^.!?]$/, "$&.")).join(" ");
  }
}

async function send(path, options) {
  let answer;
  try {
    answer = await fetch(path, {
      ...options,
      cache: "no-store",
      headers: { ...options.headers, authorization: `Bearer ${sessionStorage.getItem(KEPT)}` },
    });
  } catch {
    throw new Trouble(
      "The program does not answer.",
      "Every step up to here is on disk. Start it again in the terminal and open the address it shows.",
      0,
    );
  }
  if (answer.ok) return answer;
  let body = {};
  try {
    body = await answer.json();
  } catch {
    // Not JSON: the status alone has to do.
  }
  throw new Trouble(
    body.error?.what ?? `The program answered ${answer.status}.`,
    body.error?.hint ?? "Look at the terminal it runs in.",
    answer.status,
    body,
  );
}

const post = (body) => ({
  method: "POST",
  headers: { "content-type": "application/json" },
  body: JSON.stringify(body),
});

const named = (path, file) => (file === undefined ? path : `${path}?file=${encodeURIComponent(file)}`);

/** Asks for a document. */
export const get = async (path, file) => (await send(named(path, file), {})).json();

/** Sends one document, gets another. */
export const tell = async (path, body) => (await send(path, post(body))).json();

/** Asks for bytes: a picture or a sheet. */
export const getBlob = async (path, file) => (await send(named(path, file), {})).blob();

/** Sends a document, gets bytes. */
export const tellBlob = async (path, body) => (await send(path, post(body))).blob();
