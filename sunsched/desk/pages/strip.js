// A shot's light through the day as a strip of greys, outlined where it is a half and more.

import { clock, make } from "/own/desk.js";
import { stretches, svg } from "/own/light.js";

const HOUR_MS = 3600000;

export function strip(light, title) {
  const wide = light.length, parts = stretches(light).map((one) => svg("rect", { x: one.from, y: 0, width: one.to - one.from + 0.02, height: 10, fill: one.grey }));
  let from = null;
  light.forEach((value, at) => {
    if (value >= 50 && from === null) from = at;
    if (from !== null && (value < 50 || at === wide - 1)) {
      const to = value < 50 ? at : wide;
      parts.push(svg("rect", { x: from, y: 0.5, width: to - from, height: 9, fill: "none", stroke: "#000000", "stroke-width": 1.5, "vector-effect": "non-scaling-stroke" }));
      from = null;
    }
  });
  return svg("svg", { class: "light", viewBox: `0 0 ${wide} 10`, preserveAspectRatio: "none", role: "img", "aria-label": title }, ...parts);
}

// The hours of the day over or under strips, every so many.
export function hours(axis, every) {
  const first = Math.ceil(axis.from / (every * HOUR_MS)) * every * HOUR_MS, found = [];
  for (let at = first; at < axis.to; at += every * HOUR_MS) {
    if (Math.min(at - axis.from, axis.to - at) < HOUR_MS / 4) continue; // half of it would stand outside
    const one = make("span", {}, clock(at, axis).slice(0, 2));
    one.style.left = `${100 * (at - axis.from) / (axis.to - axis.from)}%`;
    found.push(one);
  }
  return make("div", { class: "hours", "aria-hidden": "true" }, ...found);
}

// The best stretch of a light in words, for those who do not see the strip.
export function told(light, axis) {
  const spans = [];
  light.forEach((value, at) => {
    if (value < 50) return;
    const last = spans.at(-1);
    if (last && last.to === at) last.to = at + 1;
    else spans.push({ from: at, to: at + 1 });
  });
  const time = (at) => clock(axis.from + at * axis.step_min * 60000, axis);
  return spans.length ? `at least half its light ${spans.map((one) => `${time(one.from)} to ${time(one.to)}`).join(", ")}` : "never half its light";
}
