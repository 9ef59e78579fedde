// What each shot costs in each half-hour, as a map that grows finer while one looks.
import { clock, make, trouble } from "/own/desk.js";
import { base, tryOut, working } from "/own/day.js";
import { lightFrom, MINUTE } from "/own/day_picture.js";

const STEPS = [[0.002, "#ffffff"], [0.01, "#cccccc"], [0.03, "#a2a2a2"], [0.1, "#7d7d7d"], [Infinity, "#5d5d5d"]]; // of all light
let found = null, foundFor = null;

export function drawHours(host, view, page) {
  host.hidden = !base()?.ids;
  if (host.hidden) return;
  if (foundFor !== page.mark) { found = null; foundFor = page.mark; host.replaceChildren(); }
  if (host.childElementCount) return;
  const body = make("div", { class: "map", tabIndex: 0, role: "group", "aria-label": "prices of half-hours" }), told = make("p", { class: "soft", role: "status" });
  const start = make("button", { type: "button", id: "price-hours", textContent: "price every half-hour", onclick: () => {
    told.textContent = "at first sight";
    working("arrange.hours", { base: base().given }, (record) => { found = record; fill(body, view); told.textContent = note(record); }).then((refused) => refused && trouble(refused));
  } });
  host.replaceChildren(make("h2", { textContent: "Where else a shot could be" }), start, told, body);
}

function note(record) {
  const open = record.rows.flatMap((row) => row.cells).filter((cell) => cell.lost !== null), priced = open.filter((cell) => cell.is_priced).length;
  return record.is_final ? "all half-hours are priced; a point is a thousandth of a shot’s light" : `${priced} of ${open.length} half-hours are priced, the cheapest first; the others are at first sight (dashed)`;
}

function fill(body, view) {
  const head = make("tr", {}, make("th", { scope: "col", textContent: "shot" }), found.times.map((ms) => make("th", { scope: "col", textContent: clock(ms, view).replace(":00", "") })), make("th", { scope: "col", textContent: "cut" }));
  const planned = new Map(base().plan.rows.map((row) => [row.id, row.from]));
  const rows = found.rows.map((row) => make("tr", {}, make("th", { scope: "row" }, make("bdi", { textContent: row.id })), row.cells.map((cell, k) => one(view, row, cell, found.times[k], planned.get(row.id))),
    make("td", { class: "number", textContent: row.cut === null ? "" : brief(row.cut) })));
  const { activeElement } = document, key = activeElement?.dataset?.cell;
  body.replaceChildren(make("table", {}, make("thead", {}, head), make("tbody", {}, rows)));
  if (key) body.querySelector(`[data-cell="${CSS.escape(key)}"]`)?.focus({ preventScroll: true });
}

const brief = (points) => (points >= 9950 ? `${Math.round(points / 1000)}k` : points >= 1000 ? `${(points / 1000).toFixed(1)}k` : `${points}`);

function one(view, row, cell, when, planned) {
  if (cell.known === "impossible" || cell.lost === null) return make("td", { textContent: "" });
  const share = cell.lost / found.points;
  const grey = STEPS.find(([most]) => share <= most)[1];
  const isCut = cell.known === "worse than cut";
  const button = make("button", {
    type: "button", class: [cell.is_priced ? "" : "rough", grey === "#5d5d5d" ? "dark" : ""].join(" ").trim(), textContent: isCut ? "cut" : brief(cell.lost),
    "aria-label": `${row.id} from ${clock(when, view)}: ${isCut ? "better cut, " : ""}${cell.lost} points lost${cell.is_priced ? "" : ", at first sight"}`,
    onclick: () => show(view, row.id, when),
  });
  button.dataset.cell = `${row.id} ${when}`;
  button.style.background = grey;
  const isOwn = planned !== undefined && planned >= when && planned < when + found.step_min * MINUTE;
  return make("td", { class: isOwn ? "own" : "" }, button);
}

// Show the day with a shot at the minute of a half-hour that has the most light.
function show(view, id, when) {
  const shot = view.shots.find((other) => other.id === id);
  let start = when;
  for (let at = when; at < when + found.step_min * MINUTE; at += 5 * MINUTE) {
    if (lightFrom(view, shot, at) > lightFrom(view, shot, start) + 0.01) start = at;
  }
  const held = base();
  tryOut({ said: { shots: [id], at: [clock(start, view).slice(0, 5)] }, order: held.ids, loose: id }, held, id);
  document.getElementById("picture").scrollIntoView({ block: "start" });
}
