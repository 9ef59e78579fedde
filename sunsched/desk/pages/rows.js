// A list of rows that are dragged into another order: by mouse, by touch, or by keys on the grip.

import { make } from "/own/desk.js";

const EDGE_PX = 60; // near an edge of the window the page moves along

// `texts` gives of a row { key, id, what, time }; `changed` is told the keys in their new order.
export function draggable(list, texts, { changed, removed, told }) {
  let carried = null; // while a row is dragged: where it was, and the pointer's last height

  function draw(rows) {
    const focus = document.activeElement?.closest?.("li")?.dataset.key;
    const which = document.activeElement?.className;
    list.replaceChildren(...rows.map(row));
    if (focus !== undefined && list.contains(find(focus))) find(focus).querySelector(`button.${which || "grip"}`)?.focus();
  }

  const find = (key) => [...list.children].find((item) => item.dataset.key === key);
  const keys = () => [...list.children].map((item) => item.dataset.key);

  function row(one) {
    const { key, id, what, time } = texts(one);
    const name = id || what;
    return make("li", { "data-key": key },
      make("button", {
        type: "button", class: "grip", "aria-label": `move ${name}`, "aria-describedby": "moved-how",
        onpointerdown: lift, onpointermove: carry, onpointerup: drop, onpointercancel: putBack, onkeydown: step,
      }, "↕"),
      id ? make("b", { class: "id" }, make("bdi", {}, id)) : null,
      make("span", { class: "what", dir: "auto", title: what }, what),
      time ? make("span", { class: "number" }, time) : null,
      make("button", { type: "button", class: "out", "aria-label": `leave out ${name}`, onclick: () => removed(key) }, "×"));
  }

  function lift(event) {
    if (event.button) return;
    const item = event.currentTarget.closest("li");
    event.currentTarget.setPointerCapture(event.pointerId);
    carried = { item, before: keys(), y: event.clientY };
    item.classList.add("carried");
  }

  function carry(event) {
    if (!carried) return;
    const { item } = carried;
    carried.y = event.clientY;
    for (const other of list.children) {
      if (other === item) continue;
      const box = other.getBoundingClientRect();
      const isAbove = other.compareDocumentPosition(item) & Node.DOCUMENT_POSITION_FOLLOWING;
      const middle = (box.top + box.bottom) / 2;
      if (isAbove && event.clientY < middle) { hold(event, () => other.before(item)); break; }
      if (!isAbove && event.clientY > middle && event.clientY > item.getBoundingClientRect().bottom) hold(event, () => other.after(item));
    }
    if (event.clientY < EDGE_PX) window.scrollBy(0, -12);
    else if (event.clientY > window.innerHeight - EDGE_PX) window.scrollBy(0, 12);
  }

  // A row that is put elsewhere in the page lets go of the pointer: it is taken again.
  function hold(event, put) {
    const grip = event.currentTarget;
    put();
    try { grip.setPointerCapture(event.pointerId); } catch { /* the pointer is up already */ }
  }

  function drop() {
    if (!carried) return;
    const { item, before } = carried;
    carried = null;
    item.classList.remove("carried");
    if (keys().join("\n") !== before.join("\n")) changed(keys());
  }

  function putBack() {
    if (!carried) return;
    const { item, before } = carried;
    carried = null;
    item.classList.remove("carried");
    list.replaceChildren(...before.map(find));
  }

  function step(event) {
    const item = event.currentTarget.closest("li");
    if (event.key === "Escape") { putBack(); return; }
    const to = { ArrowUp: item.previousElementSibling, ArrowDown: item.nextElementSibling,
      Home: list.firstElementChild, End: list.lastElementChild }[event.key];
    if (!to || to === item) return;
    event.preventDefault();
    if (event.key === "ArrowUp" || event.key === "Home") to.before(item);
    else to.after(item);
    event.currentTarget.focus();
    const above = item.previousElementSibling;
    const name = (one) => one.querySelector(".id, .what").textContent;
    told(`${name(item)} is ${keys().indexOf(item.dataset.key) + 1} of ${list.children.length}${above ? `, after ${name(above)}` : ""}`);
    changed(keys());
  }

  return { draw };
}
