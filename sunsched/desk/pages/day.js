// The page of the day: the order on the clock, shots moved on it, what that is worth, what is kept.
import { access, ALL, ask, clock, day, find, follow, make, Refused, send, trouble } from "/own/desk.js";
import { drawBeside } from "/own/day_beside.js";
import { drawDecisions } from "/own/day_decisions.js";
import { carrying, knobs } from "/own/day_drag.js";
import { drawHours } from "/own/day_hours.js";
import { movedBefore, rememberMoved } from "/own/day_moved.js";
import { drawPanel } from "/own/day_panel.js";
import { drawDay, drawKey } from "/own/day_picture.js";
import { drawAbout, drawBehind, drawLead, drawNotes } from "/own/day_words.js";

// All that the page holds beside the day: arrangements by name, and what is asked of the desk.
const page = {
  orders: {}, // saved, proposal, dragged, best: { name, title, plan, given, price, said, isFinal }
  shown: null,
  version: null,
  mark: null, // of what arrangements were made from
  told: "",
  asking: null, // AbortController of what is being worked out
  readying: null, // of what prices start from: it goes on while others are asked, who need it
  picked: null,
  before: [], // what was moved earlier, and what was found for it
  isLate: false, // whether something was to be drawn while a shot was carried
};
const mayMove = access >= ALL;

// What orders are held against: the saved plan where the day is still the same, else the proposal.
export const base = () => page.orders.saved ?? page.orders.proposal ?? null;
export const shown = () => page.orders[page.shown] ?? base();

function speak(text) {
  find("spoken").textContent = text;
}

// Ask for something better and better; whatever was asked before is not waited for any more. Gives
// what the desk refused with, if it did.
export async function working(kind, body, told) {
  page.asking?.abort();
  const asking = new AbortController();
  page.asking = asking;
  try {
    await ask(kind, body, (record) => { if (page.asking === asking) told(record); }, asking.signal);
  } catch (error) {
    if (error.name !== "AbortError" && page.asking === asking) return error.message;
  } finally {
    if (page.asking === asking) page.asking = null;
  }
  return "";
}

const markOf = (view) => JSON.stringify([view.plan?.revision ?? 0, view.plan?.points, view.plan?.changes, view.decisions, view.shots.length, view.hours, view.meal]);

follow(async (view) => {
  find("work").hidden = false;
  const mark = markOf(view);
  if (mark !== page.mark) {
    page.mark = mark;
    page.orders = {};
    page.before = [];
    page.shown = null;
    page.asking?.abort();
    page.readying?.abort();
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
      tryAgain();
    }
    if (!view.plan || view.plan.changes.length) {
      page.told = "looking for the plan";
      draw();
      warm(view);
      const refused = await working("arrange.proposal", {}, (record) => {
        if (page.mark !== mark) return;
        page.told = record.told ?? "";
        if (record.plan) {
          page.orders.proposal = { name: "proposal", title: "proposal, not saved", plan: record.plan, given: record.arrangement, ids: record.arrangement.ids, said: {}, isProposal: true };
          if (view.plan) page.shown ??= "saved";
        }
        draw();
      });
      if (refused) trouble(refused);
      tryAgain();
    } else {
      await Promise.all([warm(view), ready()]);
    }
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    trouble(error.message);
  } finally {
    if (page.mark === mark) { page.told = ""; draw(); }
  }
}

function tryAgain() {
  const before = movedBefore(page.mark), held = base();
  if (before && held) tryOut({ said: before.said, order: before.ids, loose: null }, held, null).catch((error) => trouble(error.message));
}

// What prices start from is worked out before anybody asks for one.
async function ready() {
  const asking = new AbortController();
  page.readying = asking;
  try {
    await ask("arrange.ready", { base: null }, () => {}, asking.signal);
    performance.mark("ready");
  } catch (error) {
    if (error.name !== "AbortError" && page.readying === asking) trouble(error.message);
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
  const said = { ...from.said };
  if (drop.start !== null) {
    const pins = (said.shots ?? []).map((id, k) => [id, said.at[k]]).filter(([id]) => id !== drop.id);
    pins.push([drop.id, clock(drop.start, view).slice(0, 5)]);
    said.shots = pins.map(([id]) => id);
    said.at = pins.map(([, at]) => at);
  }
  if (drop.near) said.keep_orders = [...(said.keep_orders ?? []).filter((ids) => !ids.split(",").includes(drop.id)), drop.near.join(",")];
  await tryOut({ said, order: drop.order, loose: drop.start !== null && !drop.near ? drop.id : null }, from, drop.id);
}

// Show what an order is worth, then the best day with what it asks.
export async function tryOut({ said, order, loose }, from, id) {
  const held = base(), given = held.given, mark = page.mark;
  page.asking?.abort();
  performance.mark("let go");
  try {
    const found = await send("quick/arrange.worth", { base: given, said, order, loose });
    if (page.mark !== mark) return;
    const { dragged, best } = page.orders;
    // What builds on what is shown is taken back on its own; what begins anew is all there is.
    page.before = from === held || !dragged ? [] : [...page.before, { dragged, best }];
    delete page.orders.best;
    page.orders.dragged = { name: "dragged", title: "as you moved it", plan: found.plan, given: found.arrangement, ids: found.arrangement.ids, price: found.price, said };
    page.shown = "dragged";
    page.told = "";
    draw();
    seen("worth");
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
    }
    draw();
    if (record.plan) seen("best", { points: record.price.now.points, isFinal: record.is_final });
  };
  const isAsked = () => page.mark === mark && page.orders.dragged?.said === said;
  const first = await send("quick/arrange.bracket", { base: given, said });
  if (!isAsked()) return;
  put(first);
  const refused = await working("arrange.best", { base: given, said }, put);
  if (!isAsked()) return;
  page.told = "";
  if (page.orders.best) page.orders.best.refused = refused;
  if (refused) speak(refused);
  draw();
  seen("asked", { refused });
}

// What the browser shows next is marked, for who measures how long it took.
function seen(name, detail = null) {
  requestAnimationFrame(() => performance.mark(name, { detail }));
}

function focusOn(id) {
  if (!id) return;
  document.querySelector(`#picture [data-knob="${CSS.escape(id)}"]`)?.focus({ preventScroll: true });
}

export function choose(name) {
  page.shown = name;
  draw();
}

// What was moved last is forgotten, or all of it; what stood before is shown.
export function putBack(isAll = false) {
  page.asking?.abort();
  const last = isAll ? undefined : page.before.pop();
  delete page.orders.dragged;
  delete page.orders.best;
  if (last) {
    page.orders.dragged = last.dragged;
    if (last.best) page.orders.best = last.best;
  } else page.before = [];
  page.shown = last ? "dragged" : null;
  page.told = "";
  speak("put back");
  draw();
  if (last && !last.best?.isFinal) bestWith(last.dragged.said, base().given).catch((error) => trouble(error.message));
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

// Save an order; what it asks of the day that is no decision yet is kept as one with it.
export async function save(order, said = null) {
  const follows = day().plan?.revision ?? 0;
  try {
    if (said) await send("keep", { said });
    const found = await send("save", { given: order.isProposal ? null : order.given, follows });
    speak(`saved as revision ${found.revision}`);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    trouble(error.message);
  }
}

function draw() {
  const view = day();
  if (!view || view.faults.length) return;
  rememberMoved(page.mark, page.orders.dragged);
  page.isLate = carrying();
  if (page.isLate) return;
  const one = shown(), held = base();
  drawLead(view, one, page, mayMove ? { choose, save } : { choose });
  drawBehind(find("behind"), view);
  const focused = document.activeElement?.dataset?.knob;
  if (one) {
    const isOther = held && one !== held;
    const handle = mayMove && one.ids ? knobs({ view, plan: one.plan, ids: one.ids }, { dropped, picked: about, speak, ended: () => { if (page.isLate) draw(); } }) : null;
    drawDay(find("picture"), view, one.plan, { old: isOther ? held.plan : null, handle });
    if (focused) focusOn(focused);
  } else {
    // How far the search for one is stands above already.
    find("picture").replaceChildren(...(mayMove ? [] : [make("p", { textContent: "No plan is saved yet." })]));
  }
  const isAsked = Boolean(page.orders.dragged || page.orders.best);
  find("work").classList.toggle("asked", isAsked);
  drawPanel(find("panel"), view, page);
  about(page.picked);
  drawNotes(find("notes"), view, one);
  if (mayMove) {
    drawDecisions(find("decisions"), view, page);
    drawBeside(find("beside"), view, page);
    drawHours(find("hours"), view, page);
  }
}

function about(id) {
  page.picked = id;
  drawAbout(find("about"), day(), shown(), id);
}

drawKey(find("key"));
