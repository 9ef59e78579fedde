// The form of a new day: what is still open is told at its field, and nothing is written before all is said.

import { find, make, trouble } from "/own/desk.js";

const MOST_BYTES = 4_000_000;
const FIELDS = ["title", "place", "date", "call", "wrap"];
const answers = new Map(); // of questions, by column and value

const way = () => document.querySelector("input[name=way]:checked").value;

for (const one of document.querySelectorAll("input[name=way]")) {
  one.addEventListener("change", () => {
    find("by-file").hidden = way() !== "file";
    find("by-paste").hidden = way() !== "paste";
    settled();
  });
}
for (const id of ["file", "text"]) find(id).addEventListener("change", settled);

// Another list has other questions.
function settled() {
  answers.clear();
  find("open").hidden = true;
  find("notes").replaceChildren();
  fault("listed", "");
  read();
}

// What each column is read as, before anything is made of it; of several answers the last counts.
let reads = 0;
async function read() {
  const number = reads += 1, host = find("columns"), part = await list();
  host.replaceChildren();
  if (!part || !Object.keys(part).length || part.text === "") return;
  try {
    const record = await post("/api/new/columns", part);
    if (number !== reads) return;
    if (record.fault) fault("listed", record.fault);
    else host.replaceChildren(...columns(record));
  } catch (error) {
    trouble(error.message);
  }
}

function columns(record) {
  const unknown = record.columns.filter((one) => one.known === null).length;
  const shots = `${record.shots} ${record.shots === 1 ? "shot" : "shots"}`;
  const told = unknown ? `${unknown === 1 ? "one title is" : `${unknown} titles are`} not known` : "every title is known";
  const hint = unknown ? [
    make("p", { class: "soft" }, "A column that is not known is kept and handed out with the plan, and nothing reads it. If it says what no other column says, give it a title that is known, and choose the list again."),
    make("details", {}, make("summary", {}, "titles that are known"),
      make("dl", {}, ...record.names.flatMap(([name, said]) => [make("dt", {}, name), make("dd", {}, said)])))] : [];
  const heads = ["title", "read as", "its first cell"].map((text) => make("th", { scope: "col" }, text));
  const row = (one) => make("tr", { class: one.known ? null : "unknown" },
    make("th", { scope: "row", dir: "auto" }, one.title || "no title"), make("td", {}, one.said ?? "not known"), make("td", { dir: "auto" }, one.first));
  return [
    make("p", {}, `${shots}; ${told}`),
    make("div", { class: "wide", role: "region", "aria-label": "how each column is read", tabIndex: 0 },
      make("table", {}, make("thead", {}, make("tr", {}, ...heads)), make("tbody", {}, ...record.columns.map(row)))),
    ...hint,
  ];
}

async function post(path, asked) {
  const response = await fetch(path, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(asked) })
    .catch(() => { throw new Error("no connection to the desk"); });
  const record = await response.json().catch(() => ({}));
  if (!response.ok) throw new Error(record.error ?? (response.status === 413 ? "the list is too long" : `the desk answered ${response.status}`));
  return record;
}

function fault(name, text) {
  find(`${name}-fault`).textContent = text;
  const field = name === "listed" ? find(way() === "paste" ? "text" : "file") : document.getElementById(name);
  if (text) field?.setAttribute("aria-invalid", "true");
  else field?.removeAttribute("aria-invalid");
}

// The list as it is sent, {} for none; null where there is none to send.
async function list() {
  if (way() === "paste") return { text: find("text").value };
  if (way() === "none") return {};
  const [file] = find("file").files;
  if (!file) return null;
  if (file.size > MOST_BYTES) { fault("listed", `${file.name} has more than ${MOST_BYTES / 1e6} MB; leave pictures out, or save it as .csv`); return null; }
  const bytes = new Uint8Array(await file.arrayBuffer());
  let text = "";
  for (let at = 0; at < bytes.length; at += 32768) text += String.fromCharCode(...bytes.subarray(at, at + 32768));
  return { content: btoa(text), list_name: file.name.slice(-200) };
}

async function body() {
  const part = await list();
  if (!part && !find("file").files.length) fault("listed", "no file is chosen");
  return part && { ...Object.fromEntries(FIELDS.map((name) => [name, find(name).value])), answers: [...answers.values()], ...part };
}

find("new").addEventListener("submit", async (event) => {
  event.preventDefault();
  for (const name of [...FIELDS, "listed", "folder"]) fault(name, "");
  let isWhole = true;
  if (!find("title").value.trim()) { fault("title", "a day has a name; its folder is called so too"); isWhole = false; }
  const asked = await body();
  if (!asked || !isWhole) { first(); return; }
  find("make").disabled = true;
  find("doing").textContent = "being made …";
  try {
    const record = await post("/api/new", asked);
    if (record.made) made(record);
    else open(record);
  } catch (error) {
    trouble(error.message);
  } finally {
    find("make").disabled = false;
    find("doing").textContent = "";
  }
});

function open(record) {
  for (const [name, text] of Object.entries(record.problems)) fault(name, text);
  const which = find("candidates");
  which.hidden = !record.candidates.length;
  which.replaceChildren(make("legend", {}, "which of these?"), ...record.candidates.slice(0, 20).map((one) => make("label", { class: "pick" },
    make("input", { type: "radio", name: "candidate", oninput: () => { find("place").value = one.write; fault("place", ""); } }), make("span", { dir: "auto" }, one.told))));
  find("open").hidden = !record.questions.length;
  find("questions").replaceChildren(...record.questions.map(question));
  find("notes").replaceChildren(...(record.notes.length ? [make("h2", {}, "What was taken for what"), make("ul", {}, ...record.notes.map((text) => make("li", { dir: "auto" }, text)))] : []));
  first();
}

function question(one, at) {
  const key = JSON.stringify([one.column, one.value]), id = `answer-${at}`;
  const known = answers.get(key)?.[2] ?? "";
  const told = one.refused || (answers.has(key) ? "" : null);
  const set = (event) => { answers.set(key, [one.column, one.value, event.target.value]); };
  if (!answers.has(key)) answers.set(key, [one.column, one.value, ""]);
  return make("p", { class: "field" },
    make("label", { for: id, dir: "auto" }, `${one.column} of ${one.shots}: ${one.text}`),
    make("input", { id, value: known, oninput: set, autocomplete: "off", maxLength: 400, "aria-describedby": `${id}-how`, "aria-invalid": one.refused ? "true" : null }),
    make("span", { id: `${id}-how`, class: one.refused ? "fault" : "soft" }, [told || `expected ${one.expected}`, one.hint && !one.refused ? `hint: ${one.hint}` : ""].filter(Boolean).join("\n")));
}

// Go to the first field that is at fault, or the first that is asked for.
function first() {
  const field = document.querySelector("[aria-invalid=true], #candidates:not([hidden]) input, #open:not([hidden]) input");
  field?.focus();
}

function made(record) {
  find("new").hidden = true;
  find("made").hidden = false;
  find("made-head").textContent = `The day is made, in the folder ${record.made}`;
  find("made-told").replaceChildren(...record.told.map((text) => make("li", { dir: "auto" }, text.trim())));
  find("to-shots").href = `/day/${encodeURIComponent(record.made)}/shots`;
  find("to-day").href = `/day/${encodeURIComponent(record.made)}/day`;
  find("made").focus();
}

find("make").disabled = false; // before this script ran, it would have sent the form as an address
