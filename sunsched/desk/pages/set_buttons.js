// The big buttons: each notes an event at once, or asks the one thing that it needs to know first.
import { clock, day, find, make } from "/own/desk.js";
import { MINUTE } from "/own/present.js";
import { isOver, toCome } from "/own/set_state.js";
import { add } from "/own/set_taps.js";
import { moment, used } from "/own/set_time.js";

const LOST = [5, 10, 15, 20, 30, 45, 60];
const MORE = [5, 10, 15, 20, 30];
const COVERS = [0, 25, 50, 75, 100];
const FOR = [["until told", null], ["30 min", 30], ["1 h", 60], ["2 h", 120]];
const DEAD_MS = 700; // the biggest button has another meaning after a tap: a second one by a glove is not meant

let state = null;
let likely = null;
let deadUntil = 0;
let opened = null; // the button whose question is open

// Note an event at the time that is set.
export function note(event, more = {}) {
  add({ event, at: moment(), seen: day().log.events.length, ...more });
  used();
  close();
}

const EVENTS = [
  ["rolled", "rolled", askRolled, () => state.running === null],
  ["done", "done", () => note("done", { subject: state.running }), () => state.running !== null],
  ["more", "more", askMore, () => true],
  ["cut", "cut", askCut, () => true],
  ["late", "late", () => askMinutes("minutes lost", LOST, (value) => note("late", { value })), () => true],
  ["cloud", "cloud", askCloud, () => true],
  ["gone", "gone, here", () => askPresence("cast", "who?", "gone", "here"), () => day().cast.length > 0],
  ["closed", "closed, open", () => askPresence("spot", "which spot?", "closed", "open"), () => true],
  ["meal", "meal", () => note("meal"), () => state.meal === null && state.running === null],
  ["note", "note", askNote, () => true],
  ["as-planned", "as planned", () => note("as-planned"), () => day().plan !== null],
  ["undo", "undo", () => undo?.(), () => undo !== null],
];
let undo = null;

export function beginButtons() {
  if (!find("buttons")) return;
  find("buttons").replaceChildren(...EVENTS.map(([name, says, act]) => make("button", {
    type: "button", id: `do-${name}`, onclick: (event) => { opened = event.currentTarget; act(); },
  }, says)));
  find("chief").addEventListener("click", () => {
    if (!likely || Date.now() < deadUntil) return;
    const { event, subject } = likely;
    deadUntil = Date.now() + DEAD_MS;
    find("chief").classList.add("dead");
    setTimeout(() => find("chief").classList.remove("dead"), DEAD_MS);
    note(event, { subject });
  });
  find("choose").addEventListener("keydown", (event) => { if (event.key === "Escape") close(); });
}

// `takeBack` takes back the newest event; null where there is none.
export function drawButtons(stateNow, likelyNow, takeBack) {
  state = stateNow;
  likely = likelyNow;
  undo = takeBack;
  if (!find("buttons")) return;
  for (const [name, , , isThere] of EVENTS) find(`do-${name}`).disabled = !isThere();
  find("chief-says").textContent = likely?.says ?? (day().plan ? "all is shot" : "no plan is saved");
  find("chief-time").textContent = likely ? `at ${clock(moment())}` : "";
  find("chief").disabled = !likely;
}

// Questions.

function open(title, ...parts) {
  const box = find("choose");
  box.replaceChildren(make("h2", { id: "choose-title" }, title), ...parts,
    make("button", { type: "button", class: "cancel", onclick: close }, "cancel"));
  box.hidden = false;
  find("buttons").hidden = true;
  box.querySelector("button, input").focus();
  box.scrollIntoView({ block: "nearest" });
}

export function close() {
  const box = find("choose");
  if (!box || box.hidden) return;
  box.hidden = true;
  box.replaceChildren();
  find("buttons").hidden = false;
  opened?.focus();
}

const button = (says, act, more = {}) => make("button", { type: "button", onclick: act, ...more }, says);

function shotText(id) {
  const shot = day().shots.find((one) => one.id === id) ?? day().log.added.find((one) => one.id === id);
  return shot ? `${id}: ${shot.size}, ${shot.spot}` : id;
}

function askShot(title, ids, act) {
  open(title, make("div", { class: "list" }, ids.map((id) => button(shotText(id), () => act(id)))));
}

function askMinutes(title, amounts, act) {
  const own = make("input", { type: "number", id: "own-minutes", min: 1, max: 720, step: 1, inputMode: "numeric" });
  const take = () => { if (own.value && own.reportValidity()) act(String(Number(own.value))); };
  own.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); take(); } });
  open(title,
    make("div", { class: "grid" }, amounts.map((amount) => button(`${amount} min`, () => act(String(amount))))),
    make("div", { class: "line" }, make("label", { htmlFor: "own-minutes" }, "other minutes"), own, button("note", take)));
}

function askRolled() {
  askShot("which shot rolls?", toCome(day(), state), (subject) => note("rolled", { subject }));
}

function askCut() {
  askShot("which shot is cut?", toCome(day(), state), (subject) => note("cut", { subject }));
}

function askMore() {
  const minutes = (id) => askMinutes(`${id} takes more: how much?`, MORE, (value) => note("more", { subject: id, value }));
  const ids = [state.running, ...toCome(day(), state)].filter((id) => id !== null && !isOver(state, id));
  if (state.running !== null) minutes(state.running);
  else askShot("which shot takes more?", ids, minutes);
}

function askCloud() {
  let length = null;
  const lengths = make("div", { class: "grid", role: "group", "aria-label": "for how long" }, FOR.map(([says, minutes]) => (
    button(says, (event) => {
      length = minutes;
      for (const one of lengths.children) one.setAttribute("aria-pressed", String(one === event.currentTarget));
    }, { "aria-pressed": String(minutes === null) }))));
  const covers = make("div", { class: "grid" }, COVERS.map((cover) => button(`${cover}%`, () => {
    note("cloud", { value: String(cover / 100), until: length === null ? null : moment() + length * MINUTE });
  })));
  open("how much cloud?", lengths, covers);
}

function askPresence(what, title, away, there) {
  const record = day();
  const names = what === "cast" ? record.cast.map((one) => one.name) : record.spots.map((one) => one.name);
  open(title, make("div", { class: "list" }, names.map((name) => {
    const event = state.said.get(`${what} ${name}`) === away ? there : away;
    return button(`${name} ${event}`, () => note(event, { subject: name }));
  })));
}

function askNote() {
  const text = make("input", { type: "text", id: "note-text", maxLength: 200, autocomplete: "off", dir: "auto" });
  const take = () => { const said = text.value.trim(); if (said) note("note", { subject: said }); };
  text.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); take(); } });
  open("what is worth keeping?", make("div", { class: "line" },
    make("label", { htmlFor: "note-text" }, "note"), text, button("note", take)));
}
