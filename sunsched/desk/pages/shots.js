// The shots: a table that is checked as it is typed, and saved whole with the version that it was read at.

import { clock, day, find, follow, make, Refused, send, trouble } from "/own/desk.js";
import { dial, point } from "/own/dial.js";
import { chooser } from "/own/shots_both.js";
import { Table } from "/own/shots_state.js";
import { grid } from "/own/shots_table.js";
import { hours, strip, told } from "/own/strip.js";

const PAUSE_MS = 180;
let state = null, checked = { rows: {}, sun: [], declination_deg: 0, axis: null }, at = null, waiting = 0, asked = 0, isSaving = false;

const table = grid({
  typed(uid, column, text) { state.set(uid, column, text, `${uid} ${column}`); draw(); later(); },
  at(uid, column) { at = { uid, column }; turn(); },
  left() { state.last = ""; },
  add: (uid) => add(uid),
  remove(uid) {
    const place = state.rows.findIndex((row) => row.uid === uid);
    state.remove(uid);
    at = null;
    draw();
    later();
    const next = state.rows[Math.min(place, state.rows.length - 1)];
    if (next) table.focus(next.uid, state.columns[0].key);
    else find("add").focus();
  },
});
const both = chooser((now, rows) => {
  state.take(now);
  state.put(rows);
  draw();
  if (state.edits().length) save();
  else check();
});
const drawDial = dial(find("dial"), (deg, isHeld) => {
  if (!at) return;
  if (!isHeld) { state.last = ""; return; }
  ensureLook();
  state.set(at.uid, "look", String(deg), `dial ${at.uid}`);
  draw();
  turn(deg);
  later();
});

function ensureLook() {
  if (!state.columns.some((one) => one.key === "look")) { state.addColumn("look"); draw(); }
}

function add(after) {
  const ids = state.rows.map((row) => row.cells.id ?? "").filter((id) => /^\d+$/.test(id)).map(Number);
  const uid = state.add(after, state.columns.some((one) => one.key === "id") ? { id: String(Math.max(0, ...ids) + 1) } : {});
  draw();
  later();
  table.focus(uid, state.columns.find((one) => one.key === "description")?.key ?? state.columns[0].key);
}

function draw() {
  table.draw(state, checked.axis);
  const isChanged = state.edits().length > 0;
  find("save").disabled = !isChanged || isSaving;
  find("undo").disabled = !state.past.length;
  find("redo").disabled = !state.next.length;
  find("saved").textContent = isChanged ? "not saved yet" : `as it stands in ${state.base.file}`;
  const more = find("more"), names = state.base.more.filter((name) => !state.columns.some((one) => one.key === name));
  if (more.options.length !== names.length + 1) more.replaceChildren(make("option", { value: "" }, "…"), ...names.map((name) => make("option", { value: name }, name)));
}

function later() {
  clearTimeout(waiting);
  waiting = setTimeout(check, PAUSE_MS);
}

// Faults by cell and the light of each row, for the table as it is; of several answers the last counts.
async function check() {
  const number = asked += 1;
  try {
    const found = await send("quick/shots.check", { version: state.base.version, edits: state.edits() });
    if (number !== asked) return;
    if (found.changed) { await meanwhile(); return; }
    checked = { rows: {}, sun: [], declination_deg: 0, axis: checked.axis, ...found };
    table.draw(state, checked.axis);
    const rest = table.fault(state, found.faults);
    find("list-faults").replaceChildren(...rest.map((text) => make("p", { dir: "auto" }, text)));
    for (const row of state.rows) table.light(row.uid, checked.rows[state.key(row.uid)]?.light, checked.axis);
    choices();
    turn();
    const notes = [...found.taken, ...found.warnings.map((one) => one.text)];
    find("notes").replaceChildren(...(notes.length ? [make("h2", {}, "How the list is read"), make("ul", {}, ...notes.map((text) => make("li", { dir: "auto" }, text)))] : []));
  } catch (error) {
    if (number === asked) trouble(error instanceof Refused ? error.message : "no connection to the desk; what you type stays here");
  }
}

// Words that a cell may hold, with free text still possible.
function choices() {
  const words = { size: state.base.sizes, sun: state.base.suns, ...(checked.words ?? {}) };
  for (const [name, some] of Object.entries(words)) {
    const id = `words-${name}`, list = find(id) ?? document.body.appendChild(make("datalist", { id }));
    if (list.children.length !== some.length || some.some((word, place) => list.children[place].value !== word)) list.replaceChildren(...some.map((value) => make("option", { value })));
  }
}

// The row that the reader is in: its light, large, and its look on the dial.
function turn(deg = undefined) {
  const row = at && state.row(at.uid), found = row && checked.rows[state.key(at.uid)];
  find("turn").hidden = !row || row.kind !== "shot" || !checked.axis;
  if (find("turn").hidden) return;
  const name = row.cells.id || "this row", axis = checked.axis;
  const true_deg = found?.look_deg ?? null, offset = checked.declination_deg;
  const look = deg ?? (true_deg === null ? null : true_deg - offset);
  find("turn-head").textContent = `Shot ${name}`;
  const compass = offset ? " by the compass" : "";
  find("turn-told").textContent = look === null ? "where the lens looks is not said: turn the line" : `looks to ${((Math.round(look) % 360) + 360) % 360}°${compass}, ${point(((look % 360) + 360) % 360)}`;
  find("turn-strip").replaceChildren(...(found ? [hours(axis, window.innerWidth < 640 ? 3 : 1), strip(found.light, told(found.light, axis))] : []));
  drawDial({ name, deg: look, track: checked.sun, offset, of: axis });
}

async function save() {
  const edits = state.edits();
  if (!edits.length || isSaving) return;
  isSaving = true;
  draw();
  find("saved").textContent = "saving …";
  try {
    const found = await send("quick/shots.keep", { version: state.base.version, edits, ...state.shown(), is_kept: true });
    isSaving = false;
    if (found.saved) {
      const focus = document.activeElement?.dataset?.cell;
      state.saved(found.saved);
      both.hide();
      draw();
      find("saved").textContent = `saved in ${state.base.file}, ${clock(Date.now(), checked.axis ?? day()).slice(0, 5)}`;
      if (focus) document.querySelector(`[data-cell="${focus}"]`)?.focus();
      check();
    } else both.show(state, found);
  } catch (error) {
    isSaving = false;
    draw();
    trouble(error instanceof Refused ? error.message : "no connection to the desk; nothing is saved yet");
  }
}

// The file is another one by now: shown where nothing was typed, put beside what was typed else.
async function meanwhile() {
  if (isSaving) return;
  const edits = state.edits();
  const found = await send("quick/shots.keep", { version: state.base.version, edits, ...state.shown(), is_kept: false });
  if (found.now.version === state.base.version) return;
  if (!edits.length) {
    state.take(found.now);
    at = null;
    draw();
    find("saved").textContent = "somebody else has changed the list; this is it now";
    check();
  } else if (find("both").hidden) both.show(state, found);
}

find("save").addEventListener("click", save);
find("add").addEventListener("click", () => add(null));
for (const which of ["undo", "redo"]) find(which).addEventListener("click", () => { state[which](); draw(); later(); });
find("more").addEventListener("change", (event) => { if (event.target.value) { state.addColumn(event.target.value); draw(); check(); } });
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || !state) return;
  const key = event.key.toLowerCase();
  if (key === "s") { event.preventDefault(); save(); }
  else if (key === "z" || key === "y") { event.preventDefault(); state[key === "y" || event.shiftKey ? "redo" : "undo"](); draw(); later(); }
});
window.addEventListener("beforeunload", (event) => { if (state?.edits().length) event.preventDefault(); });

follow(async (record) => {
  // A list at fault is mended here: the table is shown all the same.
  find("main").hidden = false;
  try {
    if (state === null) {
      state = new Table(await send("quick/shots.table"));
      draw();
      await check();
    } else {
      table.draw(state, checked.axis);
      await meanwhile();
    }
  } catch (error) {
    trouble(error instanceof Refused ? error.message : "no connection to the desk");
  }
});
