// Two orders beside each other, with what differs.
import { clock, make, percent } from "/own/desk.js";
import { base } from "/own/day.js";
import { drawDay } from "/own/day_picture.js";

let picked = [null, null];

export function drawBeside(host, view, page) {
  const orders = Object.values(page.orders);
  host.hidden = orders.length < 2;
  if (host.hidden) { host.replaceChildren(); return; }
  if (!orders.some((one) => one.name === picked[0])) picked[0] = base().name;
  if (!orders.some((one) => one.name === picked[1]) || picked[0] === picked[1]) picked[1] = orders.findLast((one) => one.name !== picked[0]).name;
  const isOpen = host.querySelector("details")?.open ?? false;
  const body = make("div");
  const choice = (place, name) => make("label", {}, `${name} `, make("select", {
    onchange: (event) => { picked[place] = event.target.value; fill(); },
  }, orders.map((one) => make("option", { value: one.name, textContent: one.title, selected: one.name === picked[place] }))));
  const fill = () => {
    const [one, other] = picked.map((name) => page.orders[name]);
    const left = make("div"), right = make("div");
    body.replaceChildren(differences(view, one, other), make("div", { class: "two" }, left, right));
    drawDay(left, view, one.plan, { title: one.title });
    drawDay(right, view, other.plan, { title: other.title, old: one.plan });
  };
  const details = make("details", { open: isOpen, ontoggle: () => { if (details.open) fill(); } }, make("summary", { textContent: "Two orders beside each other" }),
    make("div", { class: "forms" }, choice(0, "this"), choice(1, "beside")), body);
  host.replaceChildren(details);
  if (isOpen) fill();
}

function differences(view, one, other) {
  const rows = [], of = (plan, id) => plan.rows.find((row) => row.id === id) ?? plan.left_out.find((row) => row.id === id);
  const when = (row) => (row?.from ? clock(row.from, view) : "left out");
  const share = (row, name) => (row?.[name] === undefined ? "–" : percent(row[name]));
  for (const shot of view.shots) {
    const [a, b] = [of(one.plan, shot.id), of(other.plan, shot.id)];
    const differs = when(a) !== when(b) || share(a, "made") !== share(b, "made") || share(a, "light") !== share(b, "light");
    if (differs) {
      rows.push(make("tr", {}, make("th", { scope: "row" }, make("bdi", { textContent: shot.id })),
        ...[when, (row) => share(row, "made"), (row) => share(row, "light")].map((text) => make("td", { textContent: text(a) === text(b) ? text(a) : `${text(a)} → ${text(b)}` }))));
    }
  }
  const light = 100 * (other.plan.light_kept - one.plan.light_kept), points = other.plan.points - one.plan.points;
  const first = other.price && one.name === base().name ? other.price.headline : `${Math.abs(light).toFixed(1)}% ${light < 0 ? "less" : "more"} of the light is kept`;
  return make("div", {}, make("p", { class: "first", textContent: first }),
    make("p", { textContent: `${other.title} against ${one.title}: ${light >= 0 ? "+" : "−"}${Math.abs(light).toFixed(1)}% of the light, ${points >= 0 ? "+" : "−"}${Math.abs(points)} points` }),
    rows.length ? make("table", {}, make("thead", {}, make("tr", {}, ["shot", "rolls", "made", "light"].map((text) => make("th", { scope: "col", textContent: text })))), make("tbody", {}, rows)) : make("p", { textContent: "nothing differs in substance" }));
}
