// The price of what they ask: demands in words, a first figure at once, then the whole answer.

import { ask, day, dayName, find, make, Refused, send } from "/own/desk.js";
import { sheetButtons } from "/own/download.js";

const KINDS = [
  ["at", "a shot rolls at"], ["before", "a shot is rolled before"], ["after", "a shot rolls after"], ["first", "a shot comes first"],
  ["cut", "a shot is cut"], ["keep-order", "shots stay in this order"], ["meal", "the meal starts at"], ["release", "somebody leaves at"],
  ["wrap", "wrap is at"], ["call", "the call is at"],
];
const SHOT = ["at", "before", "after", "first", "cut"], TIME = ["at", "before", "after", "meal", "release", "wrap", "call"];
let demands = [{ kind: "at", subject: "", time: "" }];
let running = null, priced = null;

export function startPrices() {
  find("also").addEventListener("click", () => { demands.push({ kind: "at", subject: "", time: "" }); draw(); find("demands").lastElementChild.querySelector("select").focus(); });
  find("price").addEventListener("submit", (event) => { event.preventDefault(); price(); });
  find("price-stop").addEventListener("click", () => stopPrice("stopped"));
  find("price-keep").addEventListener("click", keep);
  find("price-sheets").append(...sheetButtons("argue/price", () => priced));
}

// Draw the form for the day's shots and names; what is typed stays, and so does who is typing.
let drawn = "";
export function drawPrices() {
  const words = JSON.stringify([day().shots.map((shot) => [shot.id, shot.description]), day().cast.map((one) => one.name)]);
  if (words !== drawn) draw();
  drawn = words;
  find("price-it").disabled = false;
}

function draw() {
  const shots = day().shots.map((shot) => [shot.id, `${shot.id}  ${shot.description}`.slice(0, 48)]);
  const cast = day().cast.map((one) => [one.name, one.name]);
  find("demands").replaceChildren(...demands.map((demand, at) => {
    const set = (name) => (event) => { demand[name] = event.target.value; if (name === "kind") { demand.subject = ""; draw(); find("demands").children[at].querySelector("select").focus(); } };
    const parts = [choice("what", KINDS, demand.kind, set("kind"))];
    if (SHOT.includes(demand.kind)) parts.push(choice("shot", shots, demand.subject, set("subject"), demand));
    if (demand.kind === "release") parts.push(choice("who", cast, demand.subject, set("subject"), demand));
    if (demand.kind === "keep-order") parts.push(field("shots, such as 4, 7, 9", demand.subject, set("subject"), ""));
    if (TIME.includes(demand.kind)) parts.push(field("time, such as 13:00", demand.time, set("time"), "time"));
    if (demands.length > 1) parts.push(make("button", { type: "button", "aria-label": `take ${at + 1} away`, onclick: () => { demands.splice(at, 1); draw(); find("also").focus(); } }, "×"));
    return make("li", {}, ...parts);
  }));
}

function choice(title, options, value, oninput, demand = null) {
  const select = make("select", { oninput }, ...options.map(([key, text]) => make("option", { value: key, selected: key === value }, text)));
  if (demand && !options.some(([key]) => key === value) && options.length) demand.subject = options[0][0];
  return make("label", {}, title, select);
}

function field(title, value, oninput, kind) {
  return make("label", {}, title, make("input", { type: "text", class: kind, value, oninput, autocomplete: "off" }));
}

export function stopPrice(text) {
  if (!running) return;
  running.abort();
  running = null;
  find("price-stop").hidden = true;
  find("price-doing").textContent = text;
}

async function price() {
  stopPrice("");
  const mine = new AbortController();
  running = mine;
  const body = { demands: demands.map((one) => ({ kind: one.kind, subject: SHOT.includes(one.kind) || ["release", "keep-order"].includes(one.kind) ? one.subject : "", time: TIME.includes(one.kind) ? one.time : "" })) };
  find("price-stop").hidden = false;
  find("priced").hidden = true;
  find("price-doing").textContent = "working it out …";
  try {
    await ask("argument.price", body, (record) => { if (running === mine) show(record, body); }, mine.signal);
  } catch (error) {
    if (error.name === "AbortError") return;
    if (running === mine) { find("priced").hidden = true; find("price-doing").textContent = error instanceof Refused ? error.message : "no connection to the desk"; }
  } finally {
    if (running === mine) { running = null; find("price-stop").hidden = true; }
  }
}

// What was priced becomes a decision of the day, in words as the server reads them.
async function keep() {
  const words = ({ kind, subject, time }) => ({
    at: { shots: [subject], at: [time] }, before: { shots: [subject], before: [time] }, after: { shots: [subject], after: [time] },
    release: { releases: [`${subject}=${time}`] }, cut: { cuts: [subject] }, "keep-order": { keep_orders: [subject] },
    first: { first: subject }, meal: { meal: time }, wrap: { wrap: time }, call: { call: time },
  })[kind];
  find("price-keep").disabled = true;
  try {
    for (const demand of priced.demands) await send("keep", { said: words(demand) });
    find("price-keep").hidden = true;
    find("price-kept").replaceChildren(
      "kept as a decision of the day. A plan saved before knows nothing of it: ",
      make("a", { href: `/day/${encodeURIComponent(dayName)}/day` }, "the page of the day"),
      " finds the best one with it, and lifts it again.",
    );
    find("price-kept").hidden = false;
    find("price-kept").querySelector("a").focus(); // where the button was
  } catch (error) {
    find("price-doing").textContent = error instanceof Refused ? error.message : "no connection to the desk";
  } finally {
    find("price-keep").disabled = false;
  }
}

function show(record, body) {
  find("price-doing").textContent = record.doing ? `${record.doing} …` : "";
  find("price-keep").hidden = Boolean(record.doing);
  find("price-kept").hidden = true;
  if (!record.headline) return;
  priced = body;
  find("priced").hidden = false;
  find("price-of").textContent = `if ${record.decision.join(", and ")}:`;
  find("price-headline").textContent = record.headline;
  find("price-said").replaceChildren(...record.said.map((text) => make("li", { dir: "auto" }, text)));
  find("price-tables").replaceChildren(...record.tables.filter((one) => one.rows.length).map((one, at) => make("div", { class: "wide", role: "region", tabindex: "0", "aria-label": at ? "both orders" : "which shots pay" }, table(one.header, one.rows))));
  find("price-note").textContent = record.note;
}

// A table of texts; figures stand to the right, points that are lost and won say so by their sign too.
export function table(header, rows) {
  const isFigure = header.map((name, at) => at > 0 && name !== "what" && name !== "why" && rows.some((row) => row[at]));
  const points = header.indexOf("points");
  const cell = (text, at) => {
    const kind = [isFigure[at] ? "number" : "", at === points && text.startsWith("-") ? "lost" : "", at === points && text.startsWith("+") ? "won" : ""].join(" ").trim();
    return at === 0 && text ? make("th", { scope: "row", dir: "auto" }, text) : make("td", { class: kind || null, dir: "auto" }, text.replace(/^-(?=\d)/, "−"));
  };
  return make("table", {},
    make("thead", {}, make("tr", {}, ...header.map((name, at) => name ? make("th", { scope: "col", class: isFigure[at] ? "number" : null }, name) : make("td", {})))),
    make("tbody", {}, ...rows.map((row) => make("tr", {}, ...row.map(cell)))));
}
