// The order below: when each shot rolls or rolled, cut down to a spot or a person.
import { clock, find, make } from "/own/desk.js";
import { MINUTE, rollOf } from "/own/present.js";

let picks = "";

function rolledOf(view) {
  const found = new Map();
  for (const event of view.log.events.filter((one) => one.holds)) {
    if (event.kind === "rolled") found.set(event.subject, { from: event.at, to: null });
    if (event.kind === "done" && found.has(event.subject)) found.get(event.subject).to = event.at;
  }
  return found;
}

function drawPicks(view) {
  const spots = view.spots.map((one) => one.name), people = view.cast.map((one) => one.name);
  const mark = JSON.stringify([spots, people]);
  if (mark === picks) return;
  picks = mark;
  const group = (label, kind, names) => make("optgroup", { label },
    names.map((name) => make("option", { value: `${kind} ${name}` }, name)));
  find("pick").replaceChildren(make("option", { value: "" }, "all shots"),
    group("at a spot", "spot", spots), ...(people.length ? [group("with", "who", people)] : []));
}

export function beginOrder(redraw) {
  find("pick").addEventListener("change", redraw);
  find("short").addEventListener("click", () => {
    const isShort = find("order").classList.toggle("short");
    find("short").setAttribute("aria-pressed", String(isShort));
  });
}

export function drawOrder(view, state, steps) {
  drawPicks(view);
  const rolled = rolledOf(view), wanted = find("pick").value;
  const shots = new Map([...view.log.added, ...view.shots].map((shot) => [shot.id, shot]));
  const planned = view.plan?.rows ?? [];
  const others = [...state.known].filter((id) => !planned.some((row) => row.id === id));
  const rows = [...planned, ...others.map((id) => ({ id, cautions: [] }))];
  const isWanted = (id) => {
    const shot = shots.get(id);
    return !wanted || `spot ${shot?.spot}` === wanted || (shot?.cast ?? []).some((name) => `who ${name}` === wanted);
  };
  const kept = rows.filter((row) => isWanted(row.id));
  find("order").replaceChildren(...kept.map((row) => drawRow(view, state, steps, row, shots.get(row.id), rolled.get(row.id))));
  find("count").textContent = wanted ? `${kept.length} of ${rows.length} shots` : "";
}

// What a caution is about; what to do then stands above as long as the shot is now or next.
const cause = (caution) => caution.split(": ")[0];

function drawRow(view, state, steps, row, shot, rolled) {
  const isRunning = state.running === row.id, isMade = state.made.has(row.id), isCut = state.cut.has(row.id);
  const step = rollOf(steps, row.id);
  let time, shift = "", figures = [];
  if (isMade) {
    time = rolled ? `${clock(rolled.from)}–${rolled.to ? clock(rolled.to) : ""}` : row.from ? `${clock(row.from)}–${clock(row.to)}` : "";
    figures = ["made"];
  } else if (isRunning) {
    time = `since ${clock(state.rolledAt)}`;
    figures = ["rolls"];
  } else if (isCut) {
    time = "–";
    figures = ["cut"];
  } else if (step) {
    const later = Math.round((step.at - (step.planned ?? step).at) / MINUTE);
    time = clock(step.at);
    if (later) shift = `${Math.abs(later)} min ${later > 0 ? "later" : "earlier"}`;
    figures.push(row.last_start ? `last start ${clock(row.last_start)}` : "no last start");
    if (row.last_start && step.at > row.last_start) figures.push("too late by now");
    if (row.begin_by) figures.push(`begin by ${clock(row.begin_by)}`);
  } else {
    time = "–";
    figures = [view.plan ? "not in the plan" : "no plan"];
  }
  return make("li", { class: isMade || isCut ? "over" : "", "aria-current": isRunning ? "time" : null },
    make("div", { class: "head" }, make("span", { class: "roll" }, time), make("bdi", { class: "id" }, row.id),
      make("span", { class: "where" }, shot ? `${shot.size}, ` : "", shot ? make("bdi", {}, shot.spot) : null),
      shift ? make("span", { class: "soft" }, shift) : null),
    make("div", { class: "soft" }, figures.join(" · ")),
    shot?.description ? make("div", { class: "what soft", dir: "auto" }, shot.description) : null,
    row.cautions.length && !isMade && !isCut ? make("div", { class: "cautions soft" }, `caution: ${row.cautions.map(cause).join("; ")}`) : null);
}
