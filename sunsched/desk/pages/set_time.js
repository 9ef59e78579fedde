// The time of the next tap: now, some minutes before, or one that is set by hand. Where now is not
// on the day, it is always set by hand, and stays as it was set.
import { clock, find, make, now, timeField, timeIn } from "/own/desk.js";
import { MINUTE } from "/own/present.js";
import { isOnDay } from "/own/set_state.js";

let back = 0; // minutes before now, below zero after
let hand = null; // a moment set by hand
let view = null;
let listener = () => {};

const minute = (ms) => Math.floor(ms / MINUTE) * MINUTE;
export const isToday = () => view !== null && isOnDay(view, now());

// The moment that the page goes by: that of the desk's clock, or what stands for it.
export function present() {
  return isToday() ? now() : hand ?? first();
}

// The whole minute at which the next tap is noted.
export function moment() {
  return minute(isToday() ? hand ?? now() - back * MINUTE : hand ?? first());
}

// Off the day a rehearsal goes on from the last event, or begins with the call.
function first() {
  const last = view.log.events.filter((event) => event.holds).at(-1);
  return last ? last.at : view.hours.crew_call;
}

// After a tap the time is that of the clock again.
export function used() {
  if (isToday()) { back = 0; hand = null; }
  else hand = moment();
  find("by-hand").hidden = true;
}

export function setTo(ms) {
  hand = minute(ms);
  back = 0;
  listener();
}

function move(minutes) {
  if (isToday() && hand === null) back -= minutes;
  else hand = moment() + minutes * MINUTE;
  listener();
}

export function drawTime(record) {
  view = record;
  if (!find("times")) return;
  const isMoved = back !== 0 || hand !== null;
  find("off-day").hidden = isToday();
  find("time-says").textContent = clock(moment());
  find("time-kind").textContent = !isToday() || hand !== null ? "by hand" : back ? `${Math.abs(back)} min ${back > 0 ? "ago" : "ahead"}` : "now";
  find("times").classList.toggle("moved", isMoved && isToday());
  find("time").setAttribute("aria-label", `${find("time-says").textContent} ${find("time-kind").textContent}: set by hand`);
}

// Give the moment of the day at which the clock there shows a time, the nearest to the working day.
function momentOf(text) {
  const { crew_call: call, hard_wrap: wrap } = view.hours;
  const gap = (ms) => Math.max(call - ms, ms - wrap, 0);
  let found = null;
  for (let ms = minute(call - 18 * 60 * MINUTE); ms <= wrap + 18 * 60 * MINUTE; ms += MINUTE) {
    if (clock(ms).slice(0, 5) === text && (found === null || gap(ms) < gap(found))) found = ms;
  }
  return found;
}

function askByHand() {
  const box = find("by-hand");
  if (!box.hidden) { box.hidden = true; return; }
  const input = timeField({ id: "hand", value: clock(moment()).slice(0, 5) });
  const set = () => {
    if (!input.reportValidity()) return;
    const found = momentOf(timeIn(input));
    if (found !== null) setTo(found);
    box.hidden = true;
    find("time").focus();
  };
  input.addEventListener("keydown", (event) => {
    // The key's press would go on to what has the focus then.
    if (event.key === "Enter") { event.preventDefault(); set(); }
    if (event.key === "Escape") { box.hidden = true; find("time").focus(); }
  });
  const reset = make("button", { type: "button", onclick: () => { back = 0; hand = null; box.hidden = true; listener(); find("time").focus(); } },
    isToday() ? "now" : "last event");
  box.replaceChildren(make("label", { htmlFor: "hand" }, "time of the next tap"), input,
    make("button", { type: "button", onclick: set }, "set"), reset);
  box.hidden = false;
  input.select();
}

export function beginTime(redraw) {
  listener = redraw;
  if (!find("times")) return;
  for (const button of document.querySelectorAll("#times button[data-min]")) {
    button.addEventListener("click", () => move(Number(button.dataset.min)));
  }
  find("time").addEventListener("click", askByHand);
}
