// Decisions of the day: the list with what each costs, a way to lift it, and forms for others.
import { find, make, Refused, send, timeField, timeIn, trouble } from "/own/desk.js";
import { base, keep, shown, tryOut, working } from "/own/day.js";

const WHY = "Each price is that of a short search, at first sight of a very short one. The argument looks as long as it takes for the best day with one decision and without it, so its price may differ.";
let drawnFor = null, prices = {};

export function drawDecisions(host, view, page) {
  host.hidden = !base();
  const mark = `${page.mark} ${Boolean(base()?.ids)}`;
  if (drawnFor === mark || !base()) return;
  drawnFor = mark;
  prices = {};
  const list = make("ul", { class: "choices", id: "decided" }), why = make("p", { class: "soft", id: "decided-why", hidden: true, textContent: WHY });
  const put = () => list.replaceChildren(...view.decisions.map((text) => line(text)));
  put();
  host.replaceChildren(make("h2", { textContent: "Decisions of the day" }),
    view.decisions.length ? list : make("p", { class: "soft", textContent: "None. A shot that is moved, or one of these, can be kept as one: every command obeys it then." }),
    ...(view.decisions.length ? [make("button", { type: "button", id: "price-decisions", textContent: "what does each cost?", onclick: () => { why.hidden = false; price(page, put); } }), why] : []),
    forms(view));
}

function price(page, put) {
  working("arrange.prices", { base: base().given }, (record) => { prices[record.text] = record; put(); }).then((refused) => refused && trouble(refused));
}

function line(text) {
  const found = prices[text];
  const cost = !found ? "" : `costs ${found.points_lost} points${found.is_final && found.most_lost !== null ? `, at most ${found.most_lost}` : ", at first sight"}; ${(100 * found.light_lost).toFixed(1)}% of the light`;
  return make("li", {}, make("bdi", { textContent: text }), " ", make("span", { class: "soft", textContent: cost }), " ",
    make("button", { type: "button", "aria-label": `lift: ${text}`, textContent: "lift", onclick: () => lift(text) }));
}

async function lift(text) {
  try { await send("lift", { text }); } catch (error) { if (!(error instanceof Refused)) throw error; trouble(error.message); }
}

// A form: its fields, and what is said by them.
function form(name, fields, said) {
  const made = make("form", { "aria-label": name, onsubmit: (event) => { event.preventDefault(); attempt(said); } }, fields,
    make("button", { type: "submit", textContent: "try" }), make("button", { type: "button", textContent: "keep", "aria-label": `keep: ${name}`, onclick: () => { if (made.reportValidity()) keep(said()); } }));
  return made;
}

function attempt(said) {
  const one = shown();
  tryOut({ said: said(), order: one.ids, loose: null }, one, null);
}

const labelled = (text, field) => make("label", {}, text, field);
const choice = (name, values) => make("select", { name, required: true }, values.map((value) => make("option", { value, textContent: value })));

function forms(view) {
  const [meal, wrap, call, gone] = ["meal", "wrap", "call", "release"].map((name) => timeField({ name }));
  const shots = view.shots.map((shot) => shot.id);
  const cut = choice("cut", shots), order = make("input", { type: "text", name: "order", required: true, placeholder: "4, 7, 9" });
  const all = [form("meal at", [labelled("meal at", meal)], () => ({ meal: timeIn(meal) }))];
  if (view.cast.length) {
    const who = choice("cast", view.cast.map((one) => one.name));
    all.push(form("release", [labelled("release", who), labelled("at", gone)], () => ({ releases: [`${who.value}=${timeIn(gone)}`] })));
  }
  all.push(form("wrap at", [labelled("wrap at", wrap)], () => ({ wrap: timeIn(wrap) })), form("call at", [labelled("call at", call)], () => ({ call: timeIn(call) })),
    form("cut", [labelled("cut", cut)], () => ({ cuts: [cut.value] })),
    form("keep the order of", [labelled("keep the order of", order)], () => ({ keep_orders: [order.value] })));
  return make("div", { class: "forms" }, all);
}
