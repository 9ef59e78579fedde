// The order that was followed over a choice, as strips: the lighter a roll, the more of its light it
// keeps; what moved is joined by a line, a thick one where it changed its place in the order.
import { clock } from "/own/desk.js";

const SPACE = "http://www.w3.org/2000/svg";
// Lowest share of light and its grey, as all pictures have them.
const SHADES = [[0, "#5d5d5d"], [0.02, "#7d7d7d"], [0.5, "#a2a2a2"], [0.75, "#cccccc"], [0.95, "#ffffff"]];
const WIDE = 336, HIGH = 22, TOP = 18, JOIN = 52, LEFT = 2, LEAST_NAMED = 9;
const HOUR = 3600000;

function part(tag, attributes, text = "") {
  const element = document.createElementNS(SPACE, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.textContent = text;
  return element;
}

export const shade = (light) => SHADES.findLast(([least]) => light >= least)[1];

export function drawStrips(found, choice, title) {
  const all = [...found.before.pieces, ...choice.strip.pieces].filter((piece) => piece.to > found.at - HOUR / 2);
  const first = Math.max(found.at - HOUR / 2, Math.min(found.at, ...all.map((piece) => piece.from)));
  const last = Math.max(found.at + HOUR, ...all.map((piece) => piece.to));
  const x = (ms) => LEFT + (WIDE - 2 * LEFT) * (Math.min(last, Math.max(first, ms)) - first) / (last - first);
  const second = TOP + HIGH + JOIN;
  const svg = part("svg", { viewBox: `0 0 ${WIDE} ${second + HIGH + 30}`, role: "img", "aria-label": `${title} under revision ${found.follows}: ${choice.headline}` });
  svg.append(part("text", { x: LEFT, y: 12 }, `revision ${found.follows}, as planned`));
  for (const move of choice.moves.filter((one) => one.to >= first)) {
    svg.append(part("line", {
      x1: x(move.from), y1: TOP + HIGH + 13, x2: x(move.to), y2: second - 1,
      class: move.is_out_of_line ? "strip-out" : "strip-later",
    }));
  }
  drawStrip(svg, found.before, TOP, x, first);
  drawStrip(svg, choice.strip, second, x, first);
  const now = x(found.at);
  svg.append(part("line", { x1: now, y1: TOP - 4, x2: now, y2: second + HIGH + 4, class: "strip-now" }));
  drawHours(svg, first, last, x, second + HIGH + 26);
  return svg;
}

function drawStrip(svg, strip, top, x, first) {
  let busyTo = -Infinity;
  for (const piece of strip.pieces.filter((one) => one.to > first)) {
    const from = x(piece.from), wide = Math.max(0.5, x(piece.to) - from), middle = top + HIGH / 2;
    if (piece.doing === "wait") {
      svg.append(part("line", { x1: from, y1: middle, x2: from + wide, y2: middle, class: "strip-wait" }));
    } else if (piece.doing === "move") {
      svg.append(part("rect", { x: from, y: middle - 3, width: wide, height: 6, class: "strip-move" }));
    } else if (piece.doing === "build") {
      svg.append(part("rect", { x: from, y: middle - 6, width: wide, height: 12, class: "strip-build" }));
    } else {
      const grey = piece.state === "coming" ? shade(piece.light) : "#1b1b1b";
      svg.append(part("rect", { x: from, y: top, width: wide, height: HIGH, fill: grey, class: "strip-roll" }));
      const centre = from + wide / 2, half = LEAST_NAMED / 2 * Math.max(1, piece.shot.length * 0.75);
      if (centre - half > busyTo) {
        busyTo = centre + half;
        // Ids stand under the strips, where no grey is behind them.
        svg.append(part("text", { x: centre, y: top + HIGH + 11, "text-anchor": "middle" }, piece.shot));
      }
    }
  }
  if (strip.meal) {
    const from = x(strip.meal.from), to = x(strip.meal.to);
    if (to > from) svg.append(part("rect", { x: from, y: top + 1, width: to - from, height: HIGH - 2, class: "strip-meal" }));
  }
}

function drawHours(svg, first, last, x, y) {
  const step = last - first > 7 * HOUR ? 2 * HOUR : HOUR;
  for (let ms = Math.ceil(first / HOUR) * HOUR; ms < last; ms += step) {
    if (x(ms) > WIDE - 30) break;
    svg.append(part("text", { x: x(ms), y }, clock(ms).slice(0, 5)));
  }
}
