// Both orders as strips, ours first, with what moved between them joined by a line.
// Time runs across; on a narrow page it runs down.

import { clock, make } from "/own/desk.js";
import { shade, svg } from "/own/light.js";

const HOUR_MS = 3600000, STRIP = 40, LETTER = 13, WIDE_PX = 620, HOUR_DOWN_PX = 64;
let number = 0;

export function strips(place, found) {
  place.replaceChildren(drawing(found, place.clientWidth || 320));
}

function drawing(found, room) {
  const all = [found.ours, found.theirs].flatMap((side) => [...side.rows.flatMap((row) => [row.change_from, row.to]), ...(side.meal ? [side.meal.from, side.meal.to] : [])]);
  const first = Math.floor(Math.min(...all) / HOUR_MS) * HOUR_MS, last = Math.ceil(Math.max(...all) / HOUR_MS) * HOUR_MS;
  const isAcross = room >= WIDE_PX;
  const long = isAcross ? room : Math.round((last - first) / HOUR_MS * HOUR_DOWN_PX);
  const along = (ms) => (ms - first) / (last - first) * long;
  // Each side has lanes for ids so that none stands over another.
  const ids = [found.ours, found.theirs].map((side) => lanes(side.rows, along, isAcross));
  const lane = isAcross ? LETTER + 4 : 30;
  const heads = 46, join = isAcross ? 110 : Math.max(60, room - 2 * STRIP - heads - lane * (ids[0].count + ids[1].count));
  const top = (isAcross ? 34 : heads) + lane * ids[0].count, low = top + STRIP + join;
  const high = low + STRIP + lane * ids[1].count + (isAcross ? 4 : 0);
  const box = (from, to, across, thick, look) => svg("rect", isAcross
    ? { x: along(from), y: across, width: Math.max(1, along(to) - along(from)), height: thick, ...look }
    : { x: across, y: along(from), width: thick, height: Math.max(1, along(to) - along(from)), ...look });
  const line = (a, from, b, to, look) => svg("line", isAcross ? { x1: along(a), y1: from, x2: along(b), y2: to, ...look } : { x1: from, y1: along(a), x2: to, y2: along(b), ...look });
  const title = (text, at) => svg("text", { ...at, "font-size": 14, "font-weight": 700, fill: "currentColor" }, text);
  const parts = isAcross
    ? [title(found.names[0], { x: 0, y: 28 }), title(found.names[1], { x: 0, y: high + 14 })]
    : [title(found.names[0], { x: top + STRIP / 2, y: -8, "text-anchor": "middle" }), title(found.names[1], { x: low + STRIP / 2, y: -8, "text-anchor": "middle" })];
  for (let hour = first; hour <= last; hour += HOUR_MS) {
    parts.push(line(hour, isAcross ? 14 : heads - 6, hour, high, { stroke: "currentColor", "stroke-width": 0.5, opacity: 0.35 }));
    const every = isAcross && long / ((last - first) / HOUR_MS) < 46 ? 2 : 1;
    if ((hour - first) / HOUR_MS % every || (isAcross && hour === last)) continue;
    const at = isAcross ? { x: along(hour) + 2, y: 12 } : { x: 0, y: along(hour) + (hour === first ? 11 : 4) };
    parts.push(svg("text", { ...at, "font-size": 12, fill: "currentColor" }, clock(hour)));
  }
  const hatch = `hatch-${number += 1}`;
  parts.push(svg("defs", {}, svg("pattern", { id: hatch, width: 6, height: 6, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
    svg("rect", { width: 6, height: 6, fill: "#ffffff" }), svg("line", { x1: 0, y1: 0, x2: 0, y2: 6, stroke: "#1b1b1b", "stroke-width": 1.6 }))));
  for (const [side, at] of [[found.ours, top], [found.theirs, low]]) parts.push(...order(side, at, box, hatch));
  const rolls = [found.ours, found.theirs].map((side) => new Map(side.rows.map((row) => [row.id, (row.from + row.to) / 2])));
  for (const move of found.moved) {
    const [a, b] = rolls.map((side) => side.get(move.id));
    parts.push(line(a, top + STRIP + 1, b, low - 1, { stroke: "currentColor", "stroke-width": move.out_of_line ? 2.5 : 0.9, opacity: move.out_of_line ? 1 : 0.6 }));
  }
  [found.ours, found.theirs].forEach((side, which) => {
    for (const row of side.rows) {
      const middle = (row.from + row.to) / 2, isAlone = !rolls[1 - which].has(row.id);
      const deep = ids[which].of.get(row.id) * lane;
      const text = isAcross
        ? { x: along(middle), y: which ? low + STRIP + LETTER + deep : top - 4 - deep, "text-anchor": "middle" }
        : { x: which ? low + STRIP + 4 + deep : top - 4 - deep, y: along(middle) + LETTER / 3, "text-anchor": which ? "start" : "end" };
      parts.push(svg("text", { ...text, "font-size": LETTER, "font-weight": isAlone ? 700 : 400, fill: "currentColor" }, row.id));
      if (isAlone) parts.push(...cross(isAcross ? along(middle) : which ? low - 9 : top + STRIP + 9, isAcross ? (which ? low - 9 : top + STRIP + 9) : along(middle), 5, "currentColor"));
    }
  });
  const size = isAcross ? { width: long, height: high + 20 } : { width: room, height: long + 34 };
  return svg("svg", { ...size, viewBox: `0 ${isAcross ? -2 : -24} ${size.width} ${size.height}`, role: "img", "aria-label": `${found.names[0]} and ${found.names[1]}, one strip each; the tables below say the same` }, ...parts);
}

// One order: rolls as light as what they keep, work between them, the meal.
function order(side, at, box, hatch) {
  const edge = { stroke: "currentColor", "stroke-width": 1.5 };
  const parts = [];
  for (const row of side.rows) {
    if (row.moved > row.change_from) parts.push(box(row.change_from, row.moved, at + STRIP * 0.36, STRIP * 0.28, { fill: "currentColor" }));
    if (row.ready > row.moved) parts.push(box(row.moved, row.ready, at + STRIP * 0.2, STRIP * 0.6, { fill: `url(#${hatch})`, stroke: "currentColor", "stroke-width": 0.5 }));
    parts.push(box(row.from, row.to, at, STRIP, { fill: shade(100 * row.fit), ...edge }));
    if (row.fit < 0.5) {
      const roll = parts.at(-1), middle = (side_) => Number(roll.getAttribute(side_));
      parts.push(...cross(middle("x") + middle("width") / 2, middle("y") + middle("height") / 2, 5, "#000000"));
    }
  }
  if (side.meal) parts.push(box(side.meal.from, side.meal.to, at + STRIP * 0.42, STRIP * 0.16, { fill: "none", stroke: "currentColor", "stroke-width": 1, "stroke-dasharray": "3 2" }));
  return parts;
}

const cross = (x, y, r, stroke) => [[-r, -r, r, r], [-r, r, r, -r]].map(([a, b, c, d]) => svg("line", { x1: x + a, y1: y + b, x2: x + c, y2: y + d, stroke, "stroke-width": 2 }));

function lanes(rows, along, isAcross) {
  const ends = [], of = new Map();
  for (const row of [...rows].sort((a, b) => a.from - b.from)) {
    const middle = along((row.from + row.to) / 2), half = isAcross ? row.id.length * 4.2 + 3 : LETTER / 2;
    let lane = ends.findIndex((end) => middle - half >= end);
    if (lane < 0) lane = ends.push(0) - 1;
    ends[lane] = middle + half;
    of.set(row.id, lane);
  }
  return { of, count: Math.max(1, ends.length) };
}

// What the drawing means, with a box for each grey that is used.
export function key(found) {
  const used = new Set([found.ours, found.theirs].flatMap((side) => side.rows.map((row) => shade(100 * row.fit))));
  const names = { "#ffffff": "from 95%", "#cccccc": "from 75%", "#a2a2a2": "from 50%", "#7d7d7d": "some", "#5d5d5d": "none" };
  const greys = Object.entries(names).filter(([grey]) => used.has(grey)).flatMap(([grey, name]) => [
    svg("svg", { width: 18, height: 12, "aria-hidden": "true" }, svg("rect", { x: 1, y: 1, width: 16, height: 10, fill: grey, stroke: "currentColor" })), ` ${name}  `]);
  const rest = ["Hatched: build. Solid: move. Dashed: meal."];
  if (found.moved.some((move) => move.out_of_line)) rest.push("Thick line: another place in the order.");
  if (found.moved.some((move) => !move.out_of_line)) rest.push("Thin line: the same place, another time.");
  rest.push("×: below half its light, or beside the strip: not made in the other order.");
  return [make("span", {}, "A roll is the lighter, the more of its light it keeps: "), ...greys, rest.join(" ")];
}
