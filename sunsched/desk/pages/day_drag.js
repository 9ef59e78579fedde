// A shot carried by mouse, by touch or by keys: along the clock, or to another place in the order.
import { clock, make } from "/own/desk.js";
import { drawn, lightFrom, MINUTE, place, spokenOf, strip, track } from "/own/day_picture.js";

const STEP = 5 * MINUTE;
const FAR_PX = 6; // a shorter way is a tap
const EDGE_PX = 60; // of the window, within which it scrolls by itself

// What one carries of each row. `told` has view, plan, ids; `dropped` is called with what was let go.
export function knobs(told, { dropped, picked, speak }) {
  const { view, plan, ids } = told;
  const carry = new Carry(told, { dropped, picked, speak });
  const first = plan.rows.find((row) => row.state === "coming") ?? plan.left_out[0];
  return (row, isLeft) => {
    if (!ids.includes(row.id) || (!isLeft && row.state !== "coming")) return null;
    const shot = view.shots.find((one) => one.id === row.id);
    const from = isLeft ? likeliest(view, row, shot) : row.from, to = isLeft ? from + shot.shoot_min * MINUTE : row.to;
    const knob = make("button", {
      type: "button", class: "knob", tabIndex: row.id === first.id ? 0 : -1, "aria-pressed": "false",
      "aria-label": spokenOf(view, row), "aria-describedby": "how",
    });
    knob.dataset.knob = row.id;
    knob.style.left = `${(place(view, from) + place(view, to)) / 2}%`;
    knob.style.width = `${place(view, to) - place(view, from)}%`;
    carry.add(knob, { id: row.id, shot, from, isLeft });
    return knob;
  };
}

// Where a shot that is not in the likely day would stand: its likely start, or its best light.
function likeliest(view, row, shot) {
  if (row.likely) return row.likely.from;
  const most = Math.max(...shot.light), middle = shot.light.length / 2;
  const best = shot.light.reduce((found, value, k) => (value === most && (found < 0 || Math.abs(k - middle) < Math.abs(found - middle)) ? k : found), -1);
  return view.axis.from + best * view.axis.step_min * MINUTE;
}

class Carry {
  constructor(told, calls) {
    Object.assign(this, told, calls);
    this.shown = this.plan.rows.map((row) => row.id);
    this.fixed = this.plan.rows.filter((row) => row.state !== "coming").length;
    this.now = null;
  }

  add(knob, one) {
    knob.addEventListener("pointerdown", (event) => this.grip(event, knob, one));
    knob.addEventListener("keydown", (event) => this.key(event, knob, one));
    knob.addEventListener("blur", () => { if (this.now?.byKey && this.now.one === one) this.back(); });
  }

  begin(knob, one, byKey) {
    const place = this.shown.indexOf(one.id);
    this.now = { knob, one, byKey, start: one.from, place: place < 0 ? this.shown.length : place, first: place < 0 ? this.shown.length : place };
    this.frame = knob.closest(".frame");
    this.item = knob.closest(".row");
    this.item.classList.add("from-here");
    this.ghost = make("div", { class: "carried" });
    this.mark = make("div", { class: "between", hidden: true });
    this.frame.append(this.ghost, this.mark);
    const cell = this.item.querySelector(".on-clock").getBoundingClientRect(), whole = this.frame.getBoundingClientRect();
    this.ghost.style.left = `${cell.left - whole.left - 2}px`;
    this.ghost.style.width = `${cell.width + 4}px`;
    this.wide = cell.width;
    knob.setAttribute("aria-pressed", "true");
  }

  // The rows that a shot can stand before or after, without itself.
  others() {
    return this.shown.filter((id) => id !== this.now.one.id);
  }

  show(top = null) {
    const { one, start, place, first } = this.now, { view } = this;
    const light = lightFrom(view, one.shot, start);
    const text = this.now.isTimed ? `${one.id} rolls at ${clock(start, view)} · light ${Math.round(light)}%` : `${one.id} · light ${Math.round(light)}%`;
    const left = placeOf(view, start), right = placeOf(view, start + one.shot.shoot_min * MINUTE);
    const box = (look) => drawn("rect", { x: `${left}%`, width: `${right - left}%`, y: 7, height: 32, class: look });
    this.ghost.replaceChildren(track(view, strip(view, one.shot), box("casing"), box("roll")), make("p", { textContent: text }));
    const whole = this.frame.getBoundingClientRect();
    const rows = this.others().map((id) => this.frame.querySelector(`[data-id="${CSS.escape(id)}"]`));
    this.mark.hidden = place === first;
    if (rows.length) {
      const edge = place < rows.length ? rows[place].getBoundingClientRect().top : rows.at(-1).getBoundingClientRect().bottom;
      this.mark.style.top = `${edge - whole.top - 2}px`;
      if (top === null) top = (place === first ? this.item.getBoundingClientRect().top : edge - 24) - whole.top;
    }
    this.ghost.style.top = `${top}px`;
    return { text, light };
  }

  grip(event, knob, one) {
    if (event.button !== 0 || this.now) return;
    const from = { x: event.clientX, y: event.clientY, scroll: window.scrollY, side: 0 };
    const scroll = knob.closest(".scroll");
    from.side = scroll.scrollLeft;
    let isFar = false, last = event, ticking = 0;
    knob.setPointerCapture(event.pointerId);
    const move = () => {
      const dx = last.clientX - from.x + scroll.scrollLeft - from.side, dy = last.clientY - from.y;
      if (!isFar) {
        if (Math.hypot(dx, dy) < FAR_PX) return;
        isFar = true;
        this.begin(knob, one, false);
      }
      const span = this.view.axis.to - this.view.axis.from;
      this.time(Math.round((one.from + (dx / this.wide) * span) / STEP) * STEP, Math.abs(dx) >= FAR_PX);
      const rows = this.others().map((id) => this.frame.querySelector(`[data-id="${CSS.escape(id)}"]`).getBoundingClientRect());
      const own = this.item.getBoundingClientRect();
      const isAway = last.clientY < own.top || last.clientY > own.bottom;
      const before = rows.filter((row) => row.top + row.height / 2 < last.clientY).length;
      this.now.place = isAway ? Math.max(this.fixed, before) : this.now.first;
      this.show(last.clientY - 24 - this.frame.getBoundingClientRect().top);
    };
    const along = () => {
      if (!this.now) return;
      const low = window.innerHeight - last.clientY;
      if (last.clientY < EDGE_PX) window.scrollBy(0, -12);
      else if (low < EDGE_PX) window.scrollBy(0, 12);
      move();
      ticking = requestAnimationFrame(along);
    };
    const moved = (next) => {
      last = next;
      const wasFar = isFar;
      move();
      if (isFar && !wasFar) ticking = requestAnimationFrame(along);
    };
    const end = (isOver) => {
      cancelAnimationFrame(ticking);
      knob.removeEventListener("pointermove", moved);
      knob.removeEventListener("pointerup", up);
      knob.removeEventListener("pointercancel", away);
      document.removeEventListener("keydown", escape);
      if (!isFar) { if (isOver) { this.picked(one.id); this.focus(knob); } return; }
      if (isOver) this.letGo(); else this.back();
    };
    const up = () => end(true), away = () => end(false), escape = (press) => { if (press.key === "Escape") end(false); };
    knob.addEventListener("pointermove", moved);
    knob.addEventListener("pointerup", up);
    knob.addEventListener("pointercancel", away);
    document.addEventListener("keydown", escape);
  }

  time(start, isTimed) {
    const { axis } = this.view, most = axis.to - this.now.one.shot.shoot_min * MINUTE;
    this.now.start = Math.min(most, Math.max(axis.from, start));
    this.now.isTimed = isTimed && this.now.start !== this.now.one.from;
    if (!this.now.isTimed) this.now.start = this.now.one.from;
  }

  key(event, knob, one) {
    const arrows = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };
    const isHeld = this.now?.byKey && this.now.one === one;
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      if (isHeld) { this.letGo(); return; }
      if (this.now) return;
      this.begin(knob, one, true);
      this.show();
      this.picked(one.id);
      this.speak(`${one.id} is held. Arrows move it, Enter lets it go, Escape puts it back.`);
    } else if (event.key === "Escape" && isHeld) {
      event.preventDefault();
      this.back();
      this.speak(`${one.id} is back where it was.`);
    } else if (arrows[event.key]) {
      event.preventDefault();
      const [along, down] = arrows[event.key];
      if (!isHeld) { this.walk(knob, down || along); return; }
      if (along) {
        const next = Math.round(this.now.start / STEP + (along > 0 ? 0.51 : -0.51)) * STEP;
        this.time(next, true);
      } else {
        this.now.place = Math.min(this.others().length, Math.max(this.fixed, this.now.place + down));
      }
      const { text } = this.show();
      this.speak(`${text}, place ${this.now.place + 1} of ${this.others().length + 1}`);
    }
  }

  walk(knob, by) {
    const all = [...knob.closest(".frame").querySelectorAll(".knob")];
    const next = all[all.indexOf(knob) + by];
    if (next) this.focus(next);
  }

  focus(knob) {
    for (const other of knob.closest(".frame").querySelectorAll(".knob")) other.tabIndex = -1;
    knob.tabIndex = 0;
    knob.focus();
    this.picked(knob.dataset.knob);
  }

  back() {
    if (!this.now) return;
    const { knob } = this.now;
    this.now = null;
    this.ghost.remove();
    this.mark.remove();
    this.item.classList.remove("from-here");
    knob.setAttribute("aria-pressed", "false");
  }

  letGo() {
    const { one, start, isTimed, place, first } = this.now, others = this.others();
    this.back();
    if (!isTimed && place === first) return;
    const order = this.ids.filter((id) => id !== one.id);
    const isPlaced = place !== first;
    if (isPlaced) {
      const before = others.slice(0, place).reverse().find((id) => order.includes(id));
      order.splice(before === undefined ? 0 : order.indexOf(before) + 1, 0, one.id);
    } else {
      order.splice(this.ids.indexOf(one.id), 0, one.id);
    }
    const near = [others[place - 1], one.id, others[place]].filter((id) => id !== undefined && this.ids.includes(id));
    this.dropped({ id: one.id, start: isTimed ? start : null, order, near: isPlaced && near.length > 1 ? near : null });
  }
}

const placeOf = (view, ms) => place(view, ms);
