// Fetches the drawings of fixtures/people/list.csv for the test of pictures by other hands: the sets at their
// pinned versions by npm, checked by SHA-256, every drawing listed as SVG and PNG under the target folder. Does
// nothing when they are there.
//
// node tests/people/fetch.mjs
import { execFile, execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";

// A set, the package that carries it, and what the package must hold.
const SETS = {
  "fluent-emoji-flat": {
    package: "@iconify-json/fluent-emoji-flat@1.2.6",
    licence: "MIT",
    sha256: "f5f4cf457c0db2ad5a2e42e033e02e0c87d10e43d0164cfffb3bb84914970a63",
  },
  noto: {
    package: "@iconify-json/noto@1.2.9",
    licence: "Apache-2.0",
    sha256: "9eac6ef4e7ec122b6f0e7ac281d61008afdbc720d0ce861e398b939daaa347c6",
  },
  "noto-v1": {
    package: "@iconify-json/noto-v1@1.2.5",
    licence: "Apache-2.0",
    sha256: "ce70d8aa90345cf389875c3571ecd245bd943401822a0c5a0f62336bf8487333",
  },
};

// Pixels from top to bottom: about 30 to a bead, as a good screen picture has.
const HEIGHT = 800;

const here = path.dirname(fileURLToPath(import.meta.url));
const root = path.join(here, "../..");
const list = fs.readFileSync(path.join(root, "fixtures/people/list.csv"), "utf8");
const sha256 = (data) => createHash("sha256").update(data).digest("hex");

function fail(why) {
  console.error(`tests/people/fetch.mjs: ${why}`);
  process.exit(1);
}

// Runs a program and gives what it printed, or says plainly why it could not.
function run(program, args, hint, options = {}) {
  try {
    return execFileSync(program, args, { encoding: "utf8", stdio: ["ignore", "pipe", "pipe"], ...options });
  } catch (error) {
    const said = String(error.stderr ?? "").trim().split("\n").slice(0, 3).join("\n");
    return fail(`${program} ${args[0]} failed: ${hint}\n${said || error.message}`);
  }
}

// The icons of a set, as the pinned package holds them.
function icons(name, desk) {
  const set = SETS[name] ?? fail(`fixtures/people/list.csv names the set "${name}", which is not pinned here`);
  const offline = `${set.package} could not be fetched; the drawings need the network once`;
  const packed = run("npm", ["pack", set.package, "--silent"], offline, { cwd: desk }).trim();
  const home = fs.mkdtempSync(path.join(desk, "set-"));
  run("tar", ["-xzf", path.join(desk, packed), "-C", home, "--strip-components=1"], "the package is not whole");
  const text = fs.readFileSync(path.join(home, "icons.json"));
  if (sha256(text) !== set.sha256) fail(`icons.json of ${set.package} is not what was pinned: SHA-256 ${sha256(text)}`);
  const { license } = JSON.parse(fs.readFileSync(path.join(home, "info.json"), "utf8"));
  if (license.spdx !== set.licence) fail(`${set.package} says its licence is ${license.spdx}, not ${set.licence}`);
  return JSON.parse(text);
}

// A drawing as an SVG file of its own.
function svg(set, name) {
  const icon = set.icons[name] ?? fail(`the set "${set.prefix}" has no drawing "${name}"`);
  const size = [icon.width ?? set.width ?? 16, icon.height ?? set.height ?? 16];
  const box = [icon.left ?? 0, icon.top ?? 0, ...size].join(" ");
  const names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"';
  return `<svg ${names} viewBox="${box}">${icon.body}</svg>\n`;
}

// Takes jobs from one list on every core until it is empty.
async function onEveryCore(jobs) {
  const left = [...jobs];
  const worker = async () => {
    for (let job = left.pop(); job; job = left.pop()) await job();
  };
  await Promise.all(Array.from({ length: os.availableParallelism() }, worker));
}

const metadata = run("cargo", ["metadata", "--format-version", "1", "--no-deps"], "is Rust installed?", { cwd: root });
const target = JSON.parse(metadata).target_directory;
const people = path.join(target, "people");
const stamp = sha256(list + fs.readFileSync(fileURLToPath(import.meta.url), "utf8"));
const stampFile = path.join(people, "stamp");
if (fs.existsSync(stampFile) && fs.readFileSync(stampFile, "utf8") === stamp) process.exit(0);

// All or nothing: everything is made on a desk beside its place, and moved there when it is whole.
fs.mkdirSync(target, { recursive: true });
const desk = fs.mkdtempSync(path.join(target, "people-desk-"));
process.on("exit", () => fs.rmSync(desk, { recursive: true, force: true }));
const made = path.join(desk, "people");
const wanted = list.trim().split("\n").slice(1).map((line) => line.split(",", 2));
const sets = {};
const jobs = wanted.map(([name, set]) => {
  sets[set] ??= icons(set, desk);
  const file = path.join(made, set, name);
  fs.mkdirSync(path.dirname(file), { recursive: true });
  fs.writeFileSync(`${file}.svg`, svg(sets[set], name));
  const args = ["--height", String(HEIGHT), "--keep-aspect-ratio", `${file}.svg`, "--output", `${file}.png`];
  return () => promisify(execFile)("rsvg-convert", args);
});
try {
  await onEveryCore(jobs);
} catch (error) {
  fail(`rsvg-convert failed: install librsvg2-bin\n${error.message}`);
}
fs.writeFileSync(path.join(made, "stamp"), stamp);
fs.rmSync(people, { recursive: true, force: true });
fs.renameSync(made, people);
console.log(`${wanted.length} drawings of people are in ${path.relative(process.cwd(), people)}`);
