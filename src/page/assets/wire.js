// Talking with the program on this machine. Nothing else is ever asked.

const KEPT = "smallcast.token";

// Takes the secret out of the address, so that it stays in no history.
export function takeToken() {
  const fragment = location.hash.slice(1);
  if (fragment && !fragment.includes("=")) {
    sessionStorage.setItem(KEPT, fragment);
    history.replaceState(null, "", location.pathname);
  }
  return !!sessionStorage.getItem(KEPT);
}

// What went wrong, and what to do next.
export class Trouble extends Error {
  constructor(what, hint, status, body) {
    super(what);
    Object.assign(this, { hint, status, body });
  }

  get words() {
    return [this.message, this.hint].filter(Boolean).map((words) => words.charAt(0).toUpperCase() + words.slice(1).replace(/[^.!?]$/, "$&.")).join(" ");
  }
}

// Anything thrown, in words for the maker: a browser's own are none.
export const wordsOf = (thrown) => (thrown instanceof Trouble ? thrown.words : "Something on this page went wrong. Load it again: every step up to here is on disk.");

// The words of these answers help only whoever mends the program.
const UNREAD = 400;
const FAILED = 500;

async function send(path, body) {
  const headers = { authorization: `Bearer ${sessionStorage.getItem(KEPT)}` };
  const post = body && { method: "POST", body: JSON.stringify(body) };
  if (post) headers["content-type"] = "application/json";
  let answer;
  try {
    answer = await fetch(path, { ...post, cache: "no-store", headers });
  } catch {
    throw new Trouble("The program does not answer.", "Every step up to here is on disk. Start it again in the terminal and open the address it shows.", 0);
  }
  if (answer.ok) return answer;
  const told = await answer.json().catch(() => ({}));
  const { status } = answer;
  const meant = status > UNREAD && status < FAILED && told.error;
  throw new Trouble(meant?.what ?? "The program could not do that.", meant?.hint ?? "Nothing was changed. Load the page again; if that does not help, look at the terminal it runs in.", status, told);
}

const named = (path, file) => (file === undefined ? path : `${path}?file=${encodeURIComponent(file)}`);

export const get = async (path, file) => (await send(named(path, file))).json();
export const tell = async (path, body) => (await send(path, body)).json();
export const getBlob = async (path, file) => (await send(named(path, file))).blob();
export const tellBlob = async (path, body) => (await send(path, body)).blob();
