// The page of the day: the order on the clock, shots moved on it, what that is worth, what is kept.
import { access, ALL, ask, clock, day, find, follow, make, Refused, send, trouble } from "/own/desk.js";
import { drawBeside } from "/own/day_beside.js";
import { drawDecisions } from "/own/day_decisions.js";
import { knobs } from "/own/day_drag.js";
import { drawHours } from "/own/day_hours.js";
import { drawPanel } from "/own/day_panel.js";
import { drawDay, drawKey, spokenOf } from "/own/day_picture.js";

// All that the page holds beside the day: arrangements by name, and what is asked of the desk.
const page = {
  orders: {}, // saved, proposal, dragged, best: { name, title, plan, given, price, said, isFinal }
  shown: null,
  version: null,
  mark: null, // of what arrangements were made from
  told: "",
  asking: null, // AbortController of what is being worked out
  picked: null,
};
const mayMove = access >= ALL;

// What orders are held against: the saved plan where the day is still the same, else the proposal.
export const base = () => page.orders.saved ?? page.orders.proposal ?? null;
export const shown = () => page.orders[page.shown] ?? base();

function speak(text) {
  find("spoken").textContent = text;
}

// Ask for something better and better; whatever was asked before is not waited for any more.
export async function working(kind, body, told) {
  page.asking?.abort();
  const asking = new AbortController();
  page.asking = asking;
  try {
    await ask(kind, body, (record) => { if (page.asking === asking) told(record); }, asking.signal);
  } catch (error) {
    if (error.name !== "AbortError" && page.asking === asking) trouble(error.message);
  } finally {
    if (page.asking === asking) page.asking = null;
  }
}

const markOf = (view) => JSON.stringify([view.plan?.revision ?? 0, view.plan?.points, view.plan?.changes, view.decisions, view.shots.length, view.hours, view.meal]);

follow(async (view) => {
  find("work").hidden = false;
  const mark = markOf(view);
  if (mark !== page.mark) {
    page.mark = mark;
    page.orders = {};
    page.shown = null;
    page.asking?.abort();
    if (view.plan) page.orders.saved = { name: "saved", title: `saved plan, revision ${view.plan.revision}`, plan: view.plan, given: null, said: {} };
    if (mayMove) begin(view, mark);
  }
  draw();
});

// Ask for what the page starts from: the saved plan's order, or the plan that is proposed.
async function begin(view, mark) {
  try {
    if (view.plan) {
      const found = await send("quick/arrange.worth", { said: {}, order: [] });
      if (page.mark !== mark) return;
      page.orders.saved.ids = found.arrangement.ids;
      draw();
    }
    if (!view.plan || view.plan.changes.length) {
      page.told = "looking for the plan";
      draw();
      warm(view);
      await working("arrange.proposal", {}, (record) => {
        if (page.mark !== mark) return;
        page.told = record.told ?? "";
        if (record.plan) {
          page.orders.proposal = { name: "proposal", title: "proposal, not saved", plan: record.plan, given: record.arrangement, ids: record.arrangement.ids, said: {}, isProposal: true };
          if (view.plan) page.shown ??= "saved";
        }
        draw();
      });
    } else {
      await Promise.all([warm(view), working("arrange.ready", { base: null }, () => {})]);
    }
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    trouble(error.message);
  } finally {
    if (page.mark === mark) { page.told = ""; draw(); }
  }
}

// The first question of a kind loads what it needs: it is asked before anybody waits for it.
async function warm(view) {
  const given = page.orders.saved ? null : { ids: view.shots.map((shot) => shot.id), suns: {}, bound: null };
  await send("quick/arrange.bracket", { base: given, said: {} }).catch(() => {});
  await send("quick/arrange.worth", { base: given, said: {}, order: [] }).catch(() => {});
}

// A shot was let go: its worth at once, then the best day with what it asks.
async function dropped(drop) {
  const view = day(), from = shown();
  const said = {};
  if (drop.start !== null) { said.shots = [drop.id]; said.at = [clock(drop.start, view).slice(0, 5)]; }
  if (drop.near) said.keep_orders = [drop.near.join(",")];
  await tryOut({ said, order: drop.order, loose: drop.start !== null && !drop.near ? drop.id : null }, from, drop.id);
}

// Show what an order is worth, then the best day with what it asks.
export async function tryOut({ said, order, loose }, from, id) {
  const held = base(), given = held.given, mark = page.mark;
  page.asking?.abort();
  const before = from.said ?? {};
  performance.mark("let go");
  try {
    const found = await send("quick/arrange.worth", { base: given, said, order, loose });
    if (page.mark !== mark) return;
    delete page.orders.best;
    page.orders.dragged = { name: "dragged", title: "as you moved it", plan: found.plan, given: found.arrangement, ids: found.arrangement.ids, price: found.price, said, before };
    page.shown = "dragged";
    page.told = "";
    draw();
    performance.mark("worth shown");
    speak(`${found.price.headline}. ${found.price.points_lost} points lost.`);
    focusOn(id);
    await bestWith(said, given, mark);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    trouble(error.message);
    speak(error.message);
    draw();
    focusOn(id);
  }
}

// The best day with a decision: a first bracket, then better and better.
export async function bestWith(said, given, mark = page.mark) {
  if (!Object.keys(said).length) return;
  const put = (record) => {
    if (page.mark !== mark) return;
    page.told = record.told ?? "";
    if (record.plan) {
      page.orders.best = { name: "best", title: "best day with that", plan: record.plan, given: record.arrangement, ids: record.arrangement.ids, price: record.price, said, isFinal: record.is_final };
      performance.mark(record.is_final ? "best shown" : "bracket shown");
    }
    draw();
  };
  put(await send("quick/arrange.bracket", { base: given, said }));
  await working("arrange.best", { base: given, said }, put);
  if (page.mark === mark) { page.told = ""; draw(); }
}

function focusOn(id) {
  if (!id) return;
  document.querySelector(`#picture [data-knob="${CSS.escape(id)}"]`)?.focus({ preventScroll: true });
}

export function choose(name) {
  page.shown = name;
  draw();
}

// The drag is forgotten; what stood before it is shown.
export function putBack() {
  page.asking?.abort();
  delete page.orders.dragged;
  delete page.orders.best;
  page.shown = null;
  page.told = "";
  speak("put back");
  draw();
}

export async function keep(said) {
  try {
    const found = await send("keep", { said });
    page.shown = null;
    speak(found.gone.length ? `kept, in the place of ${found.gone.join("; ")}` : "kept");
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    trouble(error.message);
  }
}

export async function save(order) {
  try {
    const found = await send("save", { given: order.isProposal ? null : order.given, follows: day().plan?.revision ?? 0 });
    speak(`saved as revision ${found.revision}`);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    trouble(error.message);
  }
}

function draw() {
  const view = day();
  if (!view || view.faults.length) return;
  const one = shown(), held = base();
  lead(view, one);
  const focused = document.activeElement?.dataset?.knob;
  if (one) {
    const isOther = held && one !== held;
    const handle = mayMove && one.ids ? knobs({ view, plan: one.plan, ids: one.ids }, { dropped, picked: about, speak }) : null;
    drawDay(find("picture"), view, one.plan, { old: isOther ? held.plan : null, handle });
    if (focused) focusOn(focused);
  } else {
    find("picture").replaceChildren(make("p", { textContent: page.told || (mayMove ? "looking for the plan" : "No plan is saved yet.") }));
  }
  const isAsked = Boolean(page.orders.dragged || page.orders.best);
  find("work").classList.toggle("asked", isAsked);
  drawPanel(find("panel"), view, page);
  about(page.picked);
  drawNotes(view, one);
  if (mayMove) {
    drawDecisions(find("decisions"), view, page);
    drawBeside(find("beside"), view, page);
    drawHours(find("hours"), view, page);
  }
}

function lead(view, one) {
  const acts = find("acts");
  if (!one) {
    find("kept").textContent = "";
    find("verdict").textContent = view.plan_fault;
    find("which").textContent = page.told;
    acts.replaceChildren();
    return;
  }
  const { plan } = one;
  find("kept").textContent = `${plan.for === "average" ? "on the average day " : "if every minute holds "}${(100 * plan.light_kept).toFixed(1)}% of the light is kept, ${plan.points} points with all costs`;
  find("verdict").textContent = plan.more;
  const changes = view.plan?.changes ?? [];
  find("which").textContent = [one.title, one.name === "saved" && changes.length ? changes.join("; ") : "", page.told].filter(Boolean).join(" · ");
  const buttons = [];
  const orders = Object.values(page.orders);
  if (orders.length > 1) {
    for (const other of orders) {
      buttons.push(make("button", { type: "button", "aria-pressed": String(other === one), textContent: other.title, onclick: () => choose(other.name) }));
    }
  }
  if (mayMove && one.name !== "saved" && one.name !== "hour") {
    const number = (view.plan?.revision ?? 0) + 1, isFree = !Object.keys(one.said).length || one.name === "proposal";
    buttons.push(make("button", { type: "button", class: "chief", id: "save", textContent: `save as revision ${number}`, onclick: () => save(one), disabled: !isFree && isUnkept(view, one) }));
    if (!isFree && isUnkept(view, one)) buttons.push(make("span", { class: "soft", textContent: "keep the decision first" }));
  }
  acts.replaceChildren(...buttons);
}

// Whether an order obeys what is not a decision of the day.
const isUnkept = (view, one) => one.price?.decision.some((text) => !view.decisions.includes(text) && !text.endsWith("stay in this order")) ?? false;

function about(id) {
  page.picked = id;
  const view = day(), one = shown(), host = find("about");
  const row = one?.plan.rows.find((other) => other.id === id) ?? one?.plan.left_out.find((other) => other.id === id);
  if (!row) { host.replaceChildren(); return; }
  const texts = [];
  if (row.likely) texts.push(`starts from ${clock(row.likely.from, view)} to ${clock(row.likely.to, view)} on eight days of ten`);
  if (row.not_before) texts.push(`not before ${clock(row.not_before, view)}`);
  if (row.begin_by) texts.push(`left out if its changeover has not begun by ${clock(row.begin_by, view)}`);
  if (row.last_start) texts.push(`last start ${clock(row.last_start, view)}`);
  if (row.why) texts.push(row.why);
  texts.push(...(row.cautions ?? []));
  host.replaceChildren(make("h2", {}, make("bdi", { textContent: spokenOf(view, row) })), ...texts.map((text) => make("p", { textContent: text })));
}

function drawNotes(view, one) {
  const notes = [...(one?.plan.notes ?? []), ...view.warnings];
  find("notes").replaceChildren(...(notes.length ? [make("h2", { textContent: "Notes" }), make("ul", {}, notes.map((text) => make("li", { textContent: text })))] : []));
}

drawKey(find("key"));
