// The argument: another order beside ours, what would help it, and the price of what they ask.

import { ask, clock, day, dayName, find, follow, make, Refused, send, trouble } from "/own/desk.js";
import { drawPrices, startPrices, stopPrice, table } from "/own/argue_price.js";
import { key, strips } from "/own/argue_strips.js";
import { sheetButtons } from "/own/download.js";
import { draggable } from "/own/rows.js";

const MEAL = "meal of the crew"; // no id has spaces
const PAUSE_MS = 500, MOST_BYTES = 4_000_000;
const kept = `argue ${dayName}`;

// Rows are { key, time }: shots and maybe the meal. `past` and `next` are for undo and redo.
let rows = null, name = "", past = [], next = [];
let shown = null, waiting = 0, running = null;

const list = draggable(find("rows"), (row) => row.key === MEAL
  ? { key: MEAL, id: "", what: "meal", time: row.time ? clock(row.time) : "" }
  : { key: row.key, id: row.key, what: shotOf(row.key)?.description ?? "", time: row.time ? clock(row.time) : "" }, {
  changed: (keys) => put(keys.map((one) => ({ key: one, time: null })), name || "dragged"),
  removed: (one) => put(untimed(rows.filter((row) => row.key !== one)), name),
  told: (text) => { find("moved").textContent = text; },
});

const shotOf = (id) => day().shots.find((shot) => shot.id === id);
const untimed = (some) => some.map((row) => ({ key: row.key, time: null }));

function rowsOf(order) {
  const found = order.ids.map((id, at) => ({ key: id, time: order.times[at] }));
  if (order.meal_after !== null) found.splice(order.meal_after, 0, { key: MEAL, time: order.meal_start });
  return found;
}

function orderOf(some) {
  const at = some.findIndex((row) => row.key === MEAL), shots = some.filter((row) => row.key !== MEAL);
  return { ids: shots.map((row) => row.key), times: shots.map((row) => row.time), meal_after: at < 0 ? null : at, meal_start: at < 0 ? null : some[at].time };
}

// Take another order, one step of undo away from the one before.
function put(some, called, { isStep = true } = {}) {
  if (isStep && rows) { past.push({ rows, name }); next = []; }
  rows = some;
  name = called;
  sessionStorage.setItem(kept, JSON.stringify({ rows, name }));
  drawList();
  clearTimeout(waiting);
  waiting = setTimeout(compare, PAUSE_MS);
}

function back(from, to) {
  const one = from.pop();
  if (!one) return;
  to.push({ rows, name });
  put(one.rows, one.name, { isStep: false });
}

function drawList() {
  list.draw(rows);
  find("undo").disabled = !past.length;
  find("redo").disabled = !next.length;
  const times = rows.some((row) => row.time);
  find("whose").textContent = (name ? `${name}: ` : "it starts from ours: ") + (times ? "with its own times; a row that is moved gives them up" : "each shot rolls when that is best in this order");
  const has = new Set(rows.map((row) => row.key));
  const out = day().shots.filter((shot) => !has.has(shot.id));
  const add = (key, text) => make("button", { type: "button", onclick: () => put([...untimed(rows), { key, time: null }], name) }, text);
  find("not-in").replaceChildren(
    ...(out.length ? [make("p", {}, "Not in it, put at the end by: "), make("p", {}, ...out.flatMap((shot) => [add(shot.id, shot.id), " "]))] : []),
    ...(has.has(MEAL) ? [] : [make("p", {}, "The meal is where it is best. ", add(MEAL, "give it a place"))]));
}

// One comparison at a time; of those asked for meanwhile the last one counts.
async function compare() {
  const order = orderOf(rows);
  if (!order.ids.length) { clear(); find("doing").textContent = "no shot is in the other order"; return; }
  stopPrice("ended, as the other order was compared; ask again");
  const mine = running = new AbortController();
  find("doing").textContent = "comparing …";
  try {
    await ask("argument.compare", { ...order, name: name || "ours, changed" }, (record) => { if (running === mine) show(record); }, mine.signal);
  } catch (error) {
    if (running !== mine) return;
    clear();
    find("doing").textContent = error instanceof Refused ? error.message : "no connection to the desk";
  }
}

function clear() {
  find("compared").hidden = find("headline").hidden = true;
}

function show(record) {
  shown = record;
  find("compared").hidden = find("headline").hidden = false;
  find("doing").textContent = record.doing ? `${record.doing} …` : "";
  find("headline").textContent = name || past.length ? record.headline : "Theirs is ours so far: move a shot, or give their order";
  strips(find("both"), record);
  find("key").replaceChildren(...key(record));
  find("hints").replaceChildren(...hints(record));
  find("shots").replaceChildren(table(record.header, record.shots));
  find("counted").replaceChildren(table(["", ...record.names], record.counted));
  find("said").replaceChildren(...[...record.timed, ...record.said].map((text) => make("li", { dir: "auto" }, text)));
}

function hints(record) {
  if (!record.help) return [];
  return [make("h3", {}, "What would help it"), make("p", {}, record.help),
    make("ul", { class: "choices" }, ...record.hints.map((hint) => make("li", {},
      make("button", { type: "button", onclick: () => { put(rowsOf(hint.order), name || "ours, changed"); find("both-head").scrollIntoView(); } }, "try this"), " ", make("span", { dir: "auto" }, hint.text))))];
}

// The other order from outside: faults are told in the reader's words, and nothing is changed then.
async function read(body) {
  const told = find("order-faults");
  told.hidden = true;
  try {
    const found = await send("quick/argument.order", body);
    told.textContent = found.faults.length ? found.text : found.warnings.join("\n");
    told.hidden = !told.textContent;
    if (found.faults.length) return false;
    put(rowsOf(found.order), found.name);
    return true;
  } catch (error) {
    trouble(error instanceof Refused ? error.message : "no connection to the desk");
    return false;
  }
}

async function upload(file) {
  if (file.size > MOST_BYTES) { trouble(`${file.name} has more than ${MOST_BYTES / 1e6} MB; an order is far smaller`); return; }
  const bytes = new Uint8Array(await file.arrayBuffer());
  let text = "";
  for (let at = 0; at < bytes.length; at += 32768) text += String.fromCharCode(...bytes.subarray(at, at + 32768));
  await read({ name: file.name.slice(-200), content: btoa(text) });
}

find("upload-ask").addEventListener("click", () => find("upload").click());
find("upload").addEventListener("change", (event) => { const [file] = event.target.files; event.target.value = ""; if (file) upload(file); });
find("paste-ask").addEventListener("click", () => {
  const isOpen = find("paste").hidden;
  find("paste").hidden = !isOpen;
  find("paste-ask").setAttribute("aria-expanded", String(isOpen));
  if (isOpen) find("pasted").focus();
});
find("paste").addEventListener("submit", async (event) => {
  event.preventDefault();
  if (await read({ text: find("pasted").value })) { find("paste").hidden = true; find("paste-ask").setAttribute("aria-expanded", "false"); find("paste-ask").focus(); }
});
find("start-anew").addEventListener("click", () => read({}));
find("undo").addEventListener("click", () => back(past, next));
find("redo").addEventListener("click", () => back(next, past));
find("compare-sheets").append(...sheetButtons("argue/compare", () => (rows ? { ...orderOf(rows), name: name || "theirs" } : null)));
let width = 0;
new ResizeObserver(() => { if (shown && Math.abs(find("both").clientWidth - width) > 8) { width = find("both").clientWidth; strips(find("both"), shown); } }).observe(find("both"));
startPrices();

// What is noted on set changes nothing here: only another day, another list or another plan does.
let before = "";
const asked = (record) => JSON.stringify([record.shots, record.cast, record.hours, record.meal, record.decisions, record.plan?.revision]);

follow(async (record) => {
  if (record.faults.length || asked(record) === before) return;
  before = asked(record);
  drawPrices();
  const ids = new Set(record.shots.map((shot) => shot.id));
  if (rows === null) {
    try { ({ rows, name } = JSON.parse(sessionStorage.getItem(kept))); } catch { rows = null; }
  }
  if (rows) put(rows.filter((row) => row.key === MEAL || ids.has(row.key)), name, { isStep: false });
  else await read({});
});
