// What a moved order is worth, and the best day with what it asks: the sentence first.
import { clock, make, percent } from "/own/desk.js";
import { choose, keep, putBack } from "/own/day.js";

const signed = (points) => (points > 0 ? `${points} points lost` : points < 0 ? `${-points} points won` : "no points lost");

export function bracket(price) {
  const { points_lost, least_lost, most_lost } = price;
  if (most_lost === null) return `${signed(points_lost)}, as found`;
  if (least_lost === null) return `${signed(points_lost)}, as found; the best crew of all loses at most ${most_lost}`;
  return `${signed(points_lost)}, as found; the best crew of all loses ${least_lost} to ${most_lost}`;
}

function sides(view, price) {
  const row = (name, ...cells) => make("tr", {}, make("th", { scope: "row", textContent: name }), cells.map((text) => make("td", { class: "number", textContent: text })));
  const { before, now } = price;
  return make("table", {},
    make("thead", {}, make("tr", {}, ["of the day", "plan", "so"].map((text) => make("th", { scope: "col", textContent: text })))),
    make("tbody", {},
      row("light kept", `${(100 * before.light_kept).toFixed(1)}%`, `${(100 * now.light_kept).toFixed(1)}%`),
      row("points", before.points, now.points),
      row("work has ended, half of the days", clock(before.stop, view), clock(now.stop, view)),
      row("overtime, expected", `${Math.round(before.overtime_min)} min`, `${Math.round(now.overtime_min)} min`)));
}

export function pays(price) {
  const rows = price.pays.filter((one) => one.points_lost);
  if (!rows.length) return null;
  const both = (one, name) => `${one.before ? percent(one.before[name]) : "–"} → ${one.now ? percent(one.now[name]) : "–"}`;
  return make("table", { class: "pays" },
    make("thead", {}, make("tr", {}, ["shot", "made", "light", "points"].map((text) => make("th", { scope: "col", textContent: text })))),
    make("tbody", {}, rows.map((one) => make("tr", {},
      make("th", { scope: "row" }, make("bdi", { textContent: one.id })),
      make("td", { textContent: both(one, "made") }), make("td", { textContent: both(one, "light") }),
      make("td", { class: `number ${one.points_lost > 0 ? "loses" : "wins"}`, textContent: one.points_lost > 0 ? `−${one.points_lost}` : `+${-one.points_lost}` })))));
}

export function drawPanel(host, view, page) {
  const { dragged, best } = page.orders;
  host.hidden = !dragged && !best;
  if (host.hidden) return;
  const parts = [];
  if (dragged) {
    const { price } = dragged;
    const isAsking = Object.keys(dragged.said).length > 0;
    parts.push(make("h2", { textContent: price.decision.join("; ") || "moved" }), make("p", { class: "first", id: "worth", textContent: price.headline }),
      make("p", { id: "worth-points", textContent: bracket(price) }),
      ...price.sets_aside.map((rule) => make("p", { textContent: `this sets aside a rule of the day: ${rule}` })),
      make("div", { class: "acts" },
        isAsking ? make("button", { type: "button", class: "chief", id: "keep", textContent: "keep", onclick: () => keep(dragged.said) }) : null,
        make("button", { type: "button", id: "put-back", textContent: "put back", onclick: putBack })));
    parts.push(sides(view, price), pays(price));
  }
  if (best) {
    parts.push(make("h2", { textContent: "The best day with it" }), make("p", { class: "first", id: "best", textContent: best.price.headline }),
      make("p", { id: "best-points", textContent: bracket(best.price) }),
      make("p", { class: "soft", role: "status", textContent: best.isFinal ? "" : page.told || "looking for a better one" }),
      make("div", { class: "acts" }, make("button", { type: "button", id: "show-best", "aria-pressed": String(page.shown === "best"), textContent: "show it", onclick: () => choose("best") })));
    parts.push(sides(view, best.price), pays(best.price));
  } else if (page.told) parts.push(make("p", { class: "soft", textContent: page.told }));
  host.replaceChildren(...parts.filter(Boolean));
}
