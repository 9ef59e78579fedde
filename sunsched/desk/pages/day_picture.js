// The day as a picture: a row for each shot on the clock, over its own light.
import { clock, make, now, percent } from "/own/desk.js";

const SVG = "http://www.w3.org/2000/svg";
// Lowest light of each grey, in per cent: the lighter, the better, as in every picture here.
const SHADES = [[95, "#ffffff"], [75, "#cccccc"], [50, "#a2a2a2"], [2, "#7d7d7d"], [0, "#5d5d5d"]];
const HALF = 50;
export const HOUR = 3600000, MINUTE = 60000;

export function drawn(tag, properties = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(properties)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

// Where a moment stands on the axis, in per cent of its width.
export function place(view, ms) {
  const { from, to } = view.axis;
  return (100 * (ms - from)) / (to - from);
}

const shade = (value) => SHADES.find(([least]) => value >= least)[1];

// The mean light of a shot over its roll from a moment on, in per cent.
export function lightFrom(view, shot, start) {
  const step = view.axis.step_min * MINUTE, end = start + shot.shoot_min * MINUTE;
  let sum = 0;
  shot.light.forEach((value, k) => {
    const from = view.axis.from + k * step;
    sum += value * Math.max(0, Math.min(end, from + step) - Math.max(start, from));
  });
  return sum / (end - start);
}

function box(view, from, to, y, high, look) {
  const left = place(view, from), right = place(view, to);
  return drawn("rect", { x: `${left}%`, width: `${Math.max(0, right - left)}%`, y, height: high, ...look });
}

function runs(values, same) {
  const found = [];
  values.forEach((value, k) => {
    const last = found.at(-1);
    if (last && same(values[last.from], value)) last.to = k + 1;
    else found.push({ from: k, to: k + 1 });
  });
  return found;
}

// The light of a shot through the day; a line stands around all that keeps at least half.
export function strip(view, shot, y = 12, high = 22) {
  const step = view.axis.step_min * MINUTE, at = (k) => view.axis.from + k * step;
  const group = drawn("g", { class: "light" });
  for (const run of runs(shot.light, (a, b) => shade(a) === shade(b))) {
    group.append(box(view, at(run.from), at(run.to), y, high, { fill: shade(shot.light[run.from]), "shape-rendering": "crispEdges" }));
  }
  for (const run of runs(shot.light, (a, b) => a >= HALF === b >= HALF)) {
    if (shot.light[run.from] >= HALF) group.append(box(view, at(run.from), at(run.to), y, high, { class: "half" }));
  }
  return group;
}

function hours(view, high) {
  const group = drawn("g", { class: "grid" });
  for (const ms of ticks(view)) group.append(drawn("line", { x1: `${place(view, ms)}%`, x2: `${place(view, ms)}%`, y1: 0, y2: high }));
  return group;
}

// Full hours of the place's clock on the axis.
export function ticks(view) {
  const found = [];
  for (let ms = Math.ceil(view.axis.from / (30 * MINUTE)) * 30 * MINUTE; ms <= view.axis.to; ms += 30 * MINUTE) {
    if (clock(ms, view).slice(3, 5) === "00") found.push(ms);
  }
  return found;
}

// What is done for a shot: the move, the build, the wait, the roll; and its likely starts.
export function work(view, row) {
  const group = drawn("g");
  const line = (from, to) => {
    for (const look of ["casing", "wait"]) {
      group.append(drawn("line", { x1: `${place(view, from)}%`, x2: `${place(view, to)}%`, y1: 23, y2: 23, class: look }));
    }
  };
  if (row.from > row.ready) line(row.ready, row.from);
  if (row.moved > row.change_from) group.append(box(view, row.change_from, row.moved, 20, 6, { class: "move" }));
  if (row.ready > row.moved) group.append(box(view, row.moved, row.ready, 16, 14, { class: "build", fill: "url(#hatch)" }));
  group.append(box(view, row.from, row.to, 7, 32, { class: "casing" }));
  group.append(box(view, row.from, row.to, 7, 32, { class: `roll ${row.state}` }));
  if (row.likely) group.append(box(view, row.likely.from, row.likely.to, 43, 3, { class: "likely" }));
  if (row.last_start) {
    const at = place(view, row.last_start);
    group.append(drawn("svg", { x: `${at}%`, y: 2, width: 9, height: 9, overflow: "visible" }, drawn("path", { d: "M0 0 L8 0 L0 8 Z", class: "last" })));
  }
  return group;
}

export function track(view, ...parts) {
  return drawn("svg", { class: "track", "aria-hidden": "true", width: "100%", height: 48 }, hours(view, 48), ...parts.filter(Boolean));
}

const shotOf = (view, id) => view.shots.find((one) => one.id === id);

function label(view, id, when) {
  const shot = shotOf(view, id);
  return make("div", { class: "who" },
    make("p", {}, make("b", {}, make("bdi", { textContent: id })), " ", make("span", { class: "when", textContent: when })),
    make("p", { class: "soft" }, make("span", { textContent: `${shot?.size ?? ""} · ` }), make("bdi", { textContent: shot?.spot ?? "" })),
    make("p", { class: "soft what" }, make("bdi", { textContent: shot?.description ?? "" })));
}

function chances(row) {
  const made = row.made === undefined ? "" : `made ${percent(row.made)}`;
  const light = row.made === undefined ? (row.fit === undefined ? "" : `light ${percent(row.fit)}`) : `light ${percent(row.light)}`;
  return make("div", { class: "odds" }, make("p", { textContent: made }), make("p", { textContent: light }));
}

export function spokenOf(view, row) {
  const shot = shotOf(view, row.id);
  const parts = [row.id, shot?.size, row.from ? `rolls ${clock(row.from, view)} to ${clock(row.to, view)}` : "not made on the likely day"];
  if (row.made !== undefined) parts.push(`made on ${percent(row.made)} of the days, light ${percent(row.light)}`);
  return parts.filter(Boolean).join(", ");
}

// Draw a plan. `old` is a plan whose places are shown faintly; `handle` makes what one drags of a row.
export function drawDay(host, view, plan, { old = null, handle = null, title = null } = {}) {
  const list = make("ol", { class: "rows" });
  const was = new Map((old?.rows ?? []).map((row) => [row.id, row]));
  const put = (row, isLeft, text = null) => {
    const shot = shotOf(view, row.id), faint = was.get(row.id);
    const parts = [shot && strip(view, shot)];
    if (faint && (isLeft || faint.from !== row.from)) parts.push(box(view, faint.from, faint.to, 7, 32, { class: "was" }));
    if (!isLeft) parts.push(work(view, row));
    const cell = make("div", { class: "on-clock" }, track(view, ...parts));
    if (handle && shot) {
      const knob = handle(row, isLeft);
      if (knob) cell.append(knob);
    }
    const when = isLeft ? "" : `${clock(row.from, view)}–${clock(row.to, view)}`;
    const item = make("li", { class: isLeft ? "row left" : "row" }, label(view, row.id, when), cell, chances(row));
    item.dataset.id = row.id;
    if (text) item.append(make("p", { class: "why soft", textContent: text }));
    list.append(item);
  };
  const meal = () => {
    const cell = make("div", { class: "on-clock" }, drawn("svg", { class: "track low", "aria-hidden": "true", width: "100%", height: 20 },
      hours(view, 20), box(view, plan.meal.from, plan.meal.to, 3, 14, { class: "meal" })));
    list.append(make("li", { class: "row thin" }, make("div", { class: "who" }, make("p", {}, "meal ", make("span", { class: "when", textContent: `${clock(plan.meal.from, view)}–${clock(plan.meal.to, view)}` }))), cell, make("div", { class: "odds" })));
  };
  let eaten = !plan.meal;
  for (const row of plan.rows) {
    if (!eaten && plan.meal.from < row.from) { meal(); eaten = true; }
    put(row, false);
  }
  if (!eaten) meal();
  for (const left of plan.left_out) put(left, true, `left out: ${left.why}`);
  const overlay = drawn("svg", { class: "overlay", "aria-hidden": "true" });
  const frame = make("div", { class: "frame" }, axis(view), list, bars(view), overlay);
  host.replaceChildren(...(title ? [make("h3", { textContent: title })] : []), make("div", { class: "scroll", tabIndex: 0, role: "group", "aria-label": `picture of the day${title ? `: ${title}` : ""}` }, frame));
  const lines = () => join(view, frame, overlay, plan, was);
  requestAnimationFrame(lines);
  new ResizeObserver(lines).observe(frame);
  return frame;
}

function axis(view) {
  const line = make("div", { class: "on-clock ticks" });
  for (const ms of ticks(view)) {
    const tick = make("span", { textContent: clock(ms, view).slice(0, 2) });
    tick.style.left = `${place(view, ms)}%`;
    line.append(tick);
  }
  return make("div", { class: "row thin", ariaHidden: "true" }, make("div", { class: "who" }), line, make("div", { class: "odds" }));
}

// The hours of sun at each spot, and of people.
function bars(view) {
  const rows = [];
  const { call, crew_call, wrap, hard_wrap } = view.hours;
  const put = (name, spans, look, told) => rows.push(make("li", { class: "row thin" },
    make("div", { class: "who" }, make("p", {}, make("bdi", { textContent: name }))),
    make("div", { class: "on-clock" }, drawn("svg", { class: "track low", role: "img", "aria-label": told, width: "100%", height: 20 }, hours(view, 20),
      ...spans.map((one) => ({ from: Math.max(one.from, view.axis.from), to: Math.min(one.to, view.axis.to) })).filter((one) => one.from < one.to).map((one) => box(view, one.from, one.to, 5, 10, { class: look })))), make("div", { class: "odds" })));
  const told = (spans) => spans.map((one) => `${clock(one.from, view)} to ${clock(one.to, view)}`).join(", ") || "none";
  const ends = [{ from: call ?? crew_call, to: wrap }, ...(hard_wrap > wrap ? [{ from: wrap, to: hard_wrap }] : [])];
  put("call to wrap", ends, "hours", `call to wrap ${told(ends.slice(0, 1))}${ends[1] ? `, hard wrap ${clock(hard_wrap, view)}` : ""}`);
  for (const spot of view.spots) put(`sun: ${spot.name}`, spot.sun, "sun", `direct sun at ${spot.name}: ${told(spot.sun)}`);
  for (const one of view.cast.filter((who) => who.here.length)) put(one.name, one.here, "hours", `${one.name} is here ${told(one.here)}`);
  return make("ul", { class: "rows hours-of" }, rows);
}

// Over all rows: the line of now, and lines from old places to new ones.
function join(view, frame, overlay, plan, was) {
  const first = frame.querySelector(".row .on-clock");
  if (!first) return;
  const whole = frame.getBoundingClientRect(), inner = first.getBoundingClientRect();
  overlay.style.left = `${inner.left - whole.left}px`;
  overlay.style.width = `${inner.width}px`;
  overlay.style.height = `${whole.height}px`;
  overlay.setAttribute("viewBox", `0 0 ${inner.width} ${whole.height}`);
  overlay.replaceChildren();
  const x = (ms) => (place(view, ms) / 100) * inner.width;
  if (now() > view.axis.from && now() < view.axis.to) overlay.append(drawn("line", { class: "now", x1: x(now()), x2: x(now()), y1: 0, y2: whole.height }));
  for (const row of plan.rows) {
    const old = was.get(row.id);
    const item = frame.querySelector(`[data-id="${CSS.escape(row.id)}"] .on-clock`);
    if (!old || !item || Math.abs(old.from - row.from) < 5 * MINUTE) continue;
    const y = item.getBoundingClientRect().top - whole.top + 23;
    const d = old.from < row.from ? 1 : -1;
    const way = `M${x((old.from + old.to) / 2)} ${y} L${x((row.from + row.to) / 2)} ${y} m${-7 * d} -5 l${7 * d} 5 l${-7 * d} 5`;
    overlay.append(drawn("path", { class: "moved casing", d: way }), drawn("path", { class: "moved", d: way }));
  }
}

// What all signs mean, in words.
export function drawKey(host) {
  const sign = (name, ...parts) => make("li", {}, drawn("svg", { width: 44, height: 24, "aria-hidden": "true", class: "sign" }, ...parts), make("span", { textContent: name }));
  const rect = (look, y = 2, high = 20, more = {}) => drawn("rect", { x: 2, width: 40, y, height: high, ...look, ...more });
  host.replaceChildren(make("h2", { textContent: "What the signs mean" }), make("ul", { class: "signs" },
    sign("light from 95%", rect({ fill: "#ffffff" }), rect({ class: "half" })), sign("from 75%", rect({ fill: "#cccccc" }), rect({ class: "half" })),
    sign("from 50%: a line stands around it", rect({ fill: "#a2a2a2" }), rect({ class: "half" })), sign("some", rect({ fill: "#7d7d7d" })), sign("none", rect({ fill: "#5d5d5d" })),
    sign("roll", rect({ fill: "#cccccc" }), rect({ class: "casing" }, 3, 18), rect({ class: "roll" }, 3, 18)), sign("build or adjust", rect({ class: "build", fill: "url(#hatch)" }, 5, 14)), sign("company move", rect({ class: "move" }, 9, 6)),
    sign("wait", drawn("line", { x1: 2, x2: 42, y1: 12, y2: 12, class: "wait" })), sign("starts on eight days of ten", rect({ class: "likely" }, 10, 3)),
    sign("last start", drawn("path", { d: "M16 6 L28 6 L16 18 Z", class: "last" })), sign("where it was", rect({ class: "was" }, 3, 18)), sign("direct sun, hours", rect({ class: "sun" }, 7, 10)), sign("meal", rect({ class: "meal" }, 5, 14))));
}
