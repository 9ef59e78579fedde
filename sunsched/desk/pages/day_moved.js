// What was moved, kept while the page is left: in this window alone, and no longer than it is open.
import { dayName } from "/own/desk.js";

const KEY = `moved ${dayName}`;
let isAsked = false;

// Give what was moved when the page was left, once, if the day is still the same.
export function movedBefore(mark) {
  if (isAsked) return null;
  isAsked = true;
  const found = JSON.parse(sessionStorage.getItem(KEY) ?? "null");
  return found?.mark === mark ? found : null;
}

export function rememberMoved(mark, dragged) {
  if (!isAsked) return;
  if (dragged) sessionStorage.setItem(KEY, JSON.stringify({ mark, said: dragged.said, ids: dragged.ids }));
  else sessionStorage.removeItem(KEY);
}
