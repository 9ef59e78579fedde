// Taps on their way to the log. Each is kept on the phone, for its day and its desk, until the desk
// has said that it is noted; they are sent one after the other, in the order of the taps.
import { ANEW, dayName, send } from "/own/desk.js";

const KEY = `sunsched taps ${dayName}`; // the browser keeps it for this desk's address alone
const PATIENCE_MS = 8000;
const AGAIN_MS = 2000;
let isKept = true; // whether the browser keeps what is written
let newest = 0; // the last event of the log that a tap of this page became
let taps = read();
let isSending = false;
let timer = 0;
let listener = () => {};

function read() {
  try {
    const found = JSON.parse(localStorage.getItem(KEY) ?? "[]");
    return Array.isArray(found) ? found : [];
  } catch {
    return []; // a browser that keeps nothing, or somebody else's text
  }
}

function write() {
  try {
    localStorage.setItem(KEY, JSON.stringify(taps));
  } catch {
    isKept = false; // they are sent all the same while the page is open
  }
}

// Another page of this phone has added or sent some.
addEventListener("storage", (event) => {
  if (event.key === KEY) { taps = read(); listener(); sendSoon(); }
});

export const waiting = () => taps;
export function onTaps(call) { listener = call; }

function uid() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

// Keep a tap, and send it as soon as that can be done.
export function add(tap) {
  const now = { uid: uid(), subject: "", value: "", since: null, until: null, forgotten: false, again: false, ...tap };
  now.seen = Math.max(now.seen, newest);
  change((all) => [...all, now]);
  sendSoon(0);
  return now.uid;
}

export function drop(id) {
  change((all) => all.filter((one) => one.uid !== id));
}

// Send a refused tap once more, changed: it is another tap, in the old one's place.
export function again(id, changes) {
  change((all) => all.map((one) => (
    one.uid === id ? { ...one, ...changes, uid: uid(), again: false, refused: "", isEarly: false } : one
  )));
  sendSoon(0);
}

function change(how) {
  taps = how(isKept ? read() : taps); // another page of this phone may have changed them
  write();
  listener();
}

export function sendSoon(ms = AGAIN_MS) {
  clearTimeout(timer);
  timer = setTimeout(sendAll, ms);
}

async function sendAll() {
  if (isSending) return;
  isSending = true;
  try {
    for (let tap = next(); tap; tap = next()) {
      if (!await sendOne(tap)) { sendSoon(); return; }
    }
    state("");
  } finally {
    isSending = false;
  }
}

const next = () => taps.find((one) => !one.refused);

// Send one tap; false when it has to wait.
async function sendOne(tap) {
  const { refused, isEarly, text, ...body } = tap;
  // Whatever becomes of the answer, from now on it may be noted.
  change((all) => all.map((one) => (one.uid === tap.uid ? { ...one, again: true } : one)));
  try {
    const found = await send("note", body, AbortSignal.timeout(PATIENCE_MS));
    newest = Math.max(newest, ...found.events);
    // What follows was not in the log before this one.
    change((all) => all.filter((one) => one.uid !== tap.uid)
      .map((one) => ({ ...one, seen: Math.max(one.seen, newest) })));
    return true;
  } catch (error) {
    if (error.record?.refused) {
      const { refused: why, is_early: early } = error.record;
      change((all) => all.map((one) => (one.uid === tap.uid ? { ...one, refused: why, isEarly: early } : one)));
      return true;
    }
    if (error.status === 422 || error.status === 413) {
      change((all) => all.map((one) => (one.uid === tap.uid ? { ...one, refused: error.message } : one)));
      return true;
    }
    state(why(error));
    return false;
  }
}

function why(error) {
  if (error.status === 401) return `${ANEW}, and what waits here is sent`;
  if (error.status === 403 || error.status === 409) return error.message;
  return "no connection to the desk";
}

let told = "";
export const troubleOf = () => told;
function state(text) {
  if (text !== told) { told = text; listener(); }
}

addEventListener("online", () => sendSoon(0));
document.addEventListener("visibilitychange", () => { if (!document.hidden && next()) sendSoon(0); });
