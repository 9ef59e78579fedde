// The look of a shot on a circle with north up: the sun's bearings through the day, and the lens as a line that is turned.

import { clock } from "/own/desk.js";
import { svg } from "/own/light.js";

const R = 76, POINTS = ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"];
const HOUR_MS = 3600000;
export const point = (deg) => POINTS[Math.round(deg / 22.5) % 16];
const at = (deg, r) => [r * Math.sin(deg * Math.PI / 180), -r * Math.cos(deg * Math.PI / 180)];
const whole = (deg) => ((Math.round(deg) % 360) + 360) % 360;

// `turned` is told whole degrees, and whether the hand is still on it.
export function dial(place, turned) {
  let shown = null, isHeld = false;
  const lens = svg("g"), sun = svg("g");
  const ring = svg("circle", { r: R, fill: "none", stroke: "currentColor", "stroke-width": 1 });
  const names = [["N", 0], ["E", 90], ["S", 180], ["W", 270]].map(([name, deg]) => {
    const [x, y] = at(deg, R - 13);
    return svg("text", { x, y: y + 4.5, "text-anchor": "middle", "font-size": 13, "font-weight": 700, fill: "currentColor" }, name);
  });
  const drawing = svg("svg", { viewBox: "-104 -104 208 208", role: "slider", tabindex: "0", "aria-valuemin": 0, "aria-valuemax": 359 }, ring, ...names, sun, lens);
  place.replaceChildren(drawing);

  function draw({ name, deg, track, offset, of }) {
    shown = deg;
    drawing.setAttribute("aria-label", `look of ${name}`);
    drawing.setAttribute("aria-valuenow", deg === null ? 0 : whole(deg));
    drawing.setAttribute("aria-valuetext", deg === null ? "not said" : `${whole(deg)}°, ${point(whole(deg))}`);
    sun.replaceChildren(...arc(track, offset, of));
    if (deg === null) { lens.replaceChildren(); return; }
    const [x, y] = at(deg, R - 2), [a, b] = at(deg - 5, R - 14), [c, d] = at(deg + 5, R - 14);
    lens.replaceChildren(
      svg("line", { x1: 0, y1: 0, x2: x, y2: y, stroke: "currentColor", "stroke-width": 3.5 }),
      svg("polygon", { points: `${x},${y} ${a},${b} ${c},${d}`, fill: "currentColor" }),
      svg("circle", { r: 5, fill: "currentColor" }));
  }

  function arc(track, offset, of) {
    const up = track.filter((one) => one.elevation > -0.833), parts = [];
    const path = up.map((one, place_) => {
      const [x, y] = at(one.azimuth - offset, R);
      return `${place_ && up[place_ - 1].at === one.at - 900000 ? "L" : "M"}${x.toFixed(1)},${y.toFixed(1)}`;
    }).join("");
    if (path) parts.push(svg("path", { d: path, fill: "none", stroke: "currentColor", "stroke-width": 5, opacity: 0.45 }));
    let last = null;
    for (const one of up.filter((other) => other.at % HOUR_MS === 0)) {
      const deg = one.azimuth - offset, [x, y] = at(deg, R - 5), [a, b] = at(deg, R + 5), [c, d] = at(deg, R + 16);
      parts.push(svg("line", { x1: x, y1: y, x2: a, y2: b, stroke: "currentColor", "stroke-width": 1.5 }));
      // Where the sun goes round slowly, hours stand too near each other for all of their names.
      if (last === null || Math.abs(((deg - last + 540) % 360) - 180) >= 10) {
        parts.push(svg("text", { x: c, y: d + 4, "text-anchor": "middle", "font-size": 11.5, fill: "currentColor" }, clock(one.at, of).slice(0, 2)));
        last = deg;
      }
    }
    return parts;
  }

  function toward(event) {
    const box = drawing.getBoundingClientRect();
    const x = event.clientX - (box.left + box.right) / 2, y = event.clientY - (box.top + box.bottom) / 2;
    if (Math.hypot(x, y) < 8) return;
    turned(whole(Math.atan2(x, -y) * 180 / Math.PI), true);
  }

  drawing.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    isHeld = true;
    turned(null, false); // what was turned by keys before is a step of its own
    drawing.setPointerCapture(event.pointerId);
    toward(event);
  });
  drawing.addEventListener("pointermove", (event) => { if (isHeld) toward(event); });
  for (const kind of ["pointerup", "pointercancel"]) {
    drawing.addEventListener(kind, () => { if (isHeld) { isHeld = false; turned(null, false); } });
  }
  drawing.addEventListener("keydown", (event) => {
    const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (by === undefined && event.key !== "Home") return;
    event.preventDefault();
    turned(event.key === "Home" ? 0 : whole((shown ?? 0) + by * (event.shiftKey ? 10 : 1)), true);
  });
  return draw;
}
