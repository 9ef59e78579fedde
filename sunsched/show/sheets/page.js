// Says what goes on now by the plan, shifts the plan for a crew that is late or early, and cuts
// the list down to a spot or a person. All moments are instants in milliseconds and are written on
// the place's clock, so the device's own zone does not matter. Nothing is kept and nothing is sent.
(() => {
  const page = JSON.parse(document.getElementById("facts").textContent);
  const find = (id) => document.getElementById(id);
  const rows = [...document.querySelectorAll("#list > li")];
  let lateMin = 0; // how late the crew is, below zero how early
  let toldAt = 0; // when somebody said so
  let isPrinting = false;

  // Clocks and counts in words.

  const formats = (() => {
    const two = "2-digit";
    const all = { year: "numeric", month: two, day: two, hour: two, minute: two, hourCycle: "h23" };
    const long = { weekday: "long", day: "numeric", month: "long", year: "numeric" };
    const made = (timeZone, shape) => new Intl.DateTimeFormat("en-GB", { timeZone, ...shape });
    try {
      return { wall: made(page.zone, all), date: made(page.zone, long), shift: 0 };
    } catch {
      // An old browser may not know the zone's name: then the offset at the call holds.
      const shift = page.offset_min * MINUTE;
      return { wall: made("UTC", all), date: made("UTC", long), shift };
    }
  })();

  function wall(when) {
    const parts = {};
    for (const part of formats.wall.formatToParts(when + formats.shift)) {
      parts[part.type] = part.value;
    }
    return {
      day: Date.UTC(parts.year, parts.month - 1, parts.day) / 86400000,
      time: `${parts.hour}:${parts.minute}`,
    };
  }

  const dayOfPlan = Date.parse(page.date) / 86400000;

  // As in the list: +1 is the next date, a star the second of two like hours.
  function clock(when) {
    const { day, time } = wall(when);
    const apart = day - dayOfPlan;
    const again = [30, 60].some((back) => {
      const before = wall(when - back * MINUTE);
      return before.day === day && before.time === time;
    });
    return time + (apart ? (apart > 0 ? "+" : "") + apart : "") + (again ? "*" : "");
  }

  // A phone that has not taken up the place's zone shows another time in its own corner.
  function ownClock(now) {
    const two = "2-digit";
    const own = new Date(now).toLocaleTimeString("en-GB", { hour: two, minute: two });
    return own === wall(now).time ? "" : `(your phone’s own: ${own})`;
  }

  const longDate = (when) => formats.date.format(when + formats.shift).replace(",", "");

  // The plan, shifted: what was over where the crew really is stays.
  function shifted() {
    const late = lateMin * MINUTE;
    if (!late || isPrinting) return page.steps;
    const reached = toldAt - late;
    const isOver = (step) => step.to <= reached && step.kind !== "wrap";
    const over = page.steps.filter(isOver), rest = page.steps.filter((step) => !isOver(step));
    // What the crew is at now is not over.
    const least = (step, end) => (step.at <= reached && reached < step.to ? Math.max(end, toldAt) : end);
    return [...over, ...goOn(rest, late, page.wrap, least)];
  }

  // What a shift leads to that the plan did not have, of one step.
  function fall(steps, step) {
    if (!step.moved) return "";
    const texts = [];
    const past = step.latest !== null ? step.at - step.latest : 0;
    const what = step.kind === "meal" ? "latest" : "last";
    if (past > 0) texts.push(`${spell(past)} past its ${what} start`);
    const begun = step.by !== null ? begunOf(steps, step.shot) : null;
    if (begun && begun.moved && begun.at > step.by) {
      texts.push(`begun ${spell(begun.at - step.by)} too late: by the plan it is left out`);
    }
    return texts.join("; ");
  }

  // The present.

  function before(now) {
    if (page.replanned !== null) {
      const when = `${longDate(page.replanned)} ${clock(page.replanned)}`;
      return `this plan is of a later moment: ${when}`;
    }
    const days = wall(page.call).day - wall(now).day;
    const time = wall(page.call).time;
    if (days < 2) return `begins ${days ? "tomorrow" : "today"} ${time}`;
    return `begins ${longDate(page.call)} ${time}`;
  }

  function after(now, end) {
    const isSameDate = wall(now).day === wall(end).day;
    if (isSameDate) return `this day is over: wrap was ${clock(page.wrap)}`;
    return `this day is over: it was ${longDate(page.call)}`;
  }

  function nowText(steps, step) {
    const isLast = steps.indexOf(step) === steps.length - 1;
    const isIdle = step.kind === "call" && !steps.some((one) => one.kind === "roll");
    if (isLast || isIdle) return `${step.says}; wrap is ${clock(page.wrap)}`;
    if (step.kind === "call") return `${step.says}; work begins ${clock(step.to)}`;
    const roll = step.shot && step.kind !== "roll" ? rollOf(steps, step.shot) : null;
    const rolls = roll && roll.at !== step.to ? `, rolls ${clock(roll.at)}` : "";
    return `${step.says} until ${clock(step.to)}${rolls}`;
  }

  function nextText(steps, step) {
    const next = nextOf(steps, step);
    if (!next) return "";
    if (next.kind === "wrap") return `wrap ${clock(page.wrap)}`;
    return next.kind === "meal" ? `meal ${clock(next.at)}` : `${next.name}, rolls ${clock(next.at)}`;
  }

  // The figures are of the next shot to begin to roll: that is the one that can still be too late.
  function putFigures(steps, step, now) {
    const roll = rollToCome(steps, step);
    const goal = step ? step.to : steps[0].at;
    put("left", spell(goal - now, Math.ceil));
    put("left-name", step ? "left" : "to the call");
    for (const id of ["last", "slack"]) find(id).parentElement.hidden = !roll;
    if (!roll) return;
    put("last-name", `last start of ${roll.shot}`);
    put("last", roll.latest === null ? "–" : clock(roll.latest));
    const { by, slack } = room(steps, roll, now);
    put("by", by !== null ? `begin by ${clock(by)}` : "");
    const whose = slack && slack.of !== roll.shot ? `, for ${slack.of}` : "";
    put("slack", slack ? spell(Math.abs(slack.room)) + whose : "–");
    put("slack-name", slack && slack.room < 0 ? "too late" : "slack");
  }

  // Written only when it changes, so that a screen reader stays quiet in between.
  function put(id, text) {
    const element = typeof id === "string" ? find(id) : id;
    if (element.textContent !== text) element.textContent = text;
  }

  function ageText(now, end) {
    if (now < page.made) return "this page is newer than your phone's clock: is the clock right?";
    const begun = page.replanned ?? page.call;
    if (now < begun || now >= end) return "";
    const hours = Math.floor((now - page.made) / (60 * MINUTE));
    const age = hours < 1 ? spell(now - page.made, Math.floor) : hours < 48 ? `${hours} h` :
      `${Math.floor(hours / 24)} days`;
    return `made ${age} ago; ask whether there is a newer one`;
  }

  function draw() {
    const now = Date.now();
    const steps = shifted();
    const end = steps[steps.length - 1].to;
    const isBefore = now < steps[0].at;
    const step = isBefore || now >= end ? null : steps.find((one) => one.at <= now && now < one.to);
    put("clock", wall(now).time);
    put("own", ownClock(now));
    put("age", ageText(now, end));
    put("says", step ? nowText(steps, step) : isBefore ? before(now) : after(now, end));
    const next = step || isBefore ? nextText(steps, step) : "";
    put("next", next);
    find("next").parentElement.hidden = !next;
    // A plan of a later moment has nothing to count down to.
    find("figures").hidden = !(step || (isBefore && page.replanned === null));
    if (!find("figures").hidden) putFigures(steps, step, now);
    const row = step ? find(step.row) : null;
    for (const old of document.querySelectorAll("[aria-current]")) {
      if (old !== row) old.removeAttribute("aria-current");
    }
    if (row) {
      row.setAttribute("aria-current", "time");
      find("says").href = `#${row.id}`;
    } else {
      find("says").removeAttribute("href");
    }
    drawShift(steps);
  }

  // The shift, in the list and in words.

  const asPlanned = new Map();
  for (const element of document.querySelectorAll("#list .from, #list .to, #list .long")) {
    asPlanned.set(element, element.textContent);
  }

  function drawShift(steps) {
    const falls = [];
    for (const step of steps) {
      if (!step.line) continue;
      const planned = step.planned ?? step;
      const row = find(step.line);
      const set = (name, isMoved, text) => {
        const element = row.querySelector(name);
        if (!element || !asPlanned.has(element)) return;
        put(element, isMoved ? text() : asPlanned.get(element));
        element.classList.toggle("moved", isMoved);
      };
      set(".from", step.at !== planned.at, () => clock(step.at));
      set(".to", step.to !== planned.to, () => clock(step.to));
      const isLonger = step.to - step.at !== planned.to - planned.at;
      set(".long", isLonger, () => spell(step.to - step.at));
      const text = fall(steps, step);
      const note = row.querySelector(".fall");
      if (note) {
        put(note, text);
        note.hidden = !text;
      }
      if (text) falls.push(`${step.shot || step.kind}: ${text}`);
    }
    find("back").disabled = !lateMin;
    const amount = `${Math.abs(lateMin)} min ${lateMin < 0 ? "early" : "late"}`;
    put("amount", lateMin ? `we are ${amount} at ${clock(toldAt)}` : "as planned");
    put("late-says", lateMin ? amount : "late or early?");
    document.body.classList.toggle("late", lateMin !== 0 && !isPrinting);
    if (lateMin && !falls.length) falls.push("nothing falls past its last start");
    if (lateMin) {
      const wrap = steps[steps.length - 1];
      const over = wrap.at > page.wrap ? `, ${spell(wrap.at - page.wrap)} after wrap` : "";
      falls.push(`the last work ends ${clock(wrap.at)}${over}`);
    }
    const list = find("falls");
    if (list.dataset.told !== falls.join("\n")) {
      list.dataset.told = falls.join("\n");
      list.replaceChildren(...falls.map((text) => {
        const item = document.createElement("li");
        item.textContent = text;
        return item;
      }));
    }
  }

  function shiftBy(minutes) {
    lateMin = minutes ? lateMin + minutes : 0;
    toldAt = Date.now();
    draw();
  }

  for (const button of document.querySelectorAll("#late button[data-min]")) {
    button.addEventListener("click", () => shiftBy(Number(button.dataset.min)));
  }
  find("back").addEventListener("click", () => shiftBy(0));
  find("ask-late").addEventListener("click", () => {
    const late = find("late");
    late.hidden = !late.hidden;
    find("ask-late").setAttribute("aria-expanded", String(!late.hidden));
  });

  // The list, cut down.

  function cut() {
    const wanted = isPrinting ? "" : find("pick").value;
    let shown = 0;
    for (const row of rows) {
      const within = row.dataset.within ? row.dataset.within.split(" ") : [];
      row.hidden = Boolean(wanted && within.length && !within.includes(wanted));
      if (row.classList.contains("shot") && !row.hidden) shown += 1;
    }
    const all = rows.filter((row) => row.classList.contains("shot")).length;
    put("count", wanted ? `${shown} of ${all} shots` : "");
  }

  find("pick").addEventListener("change", cut);
  find("short").addEventListener("click", () => {
    const isShort = find("list").classList.toggle("short");
    find("short").setAttribute("aria-pressed", String(isShort));
  });

  // On paper stands the plan itself, whole, with every reason.
  const opened = [];
  addEventListener("beforeprint", () => {
    isPrinting = true;
    for (const one of document.querySelectorAll("#list details:not([open])")) {
      one.open = true;
      opened.push(one);
    }
    cut();
    draw();
  });
  addEventListener("afterprint", () => {
    isPrinting = false;
    for (const one of opened.splice(0)) one.open = false;
    cut();
    draw();
  });

  // The first look: the present, unless the reader is somewhere already.

  const bar = find("bar");
  const clear = () => {
    document.documentElement.style.scrollPaddingTop = `${bar.offsetHeight + 8}px`;
  };
  find("present").hidden = false;
  find("tools").hidden = false;
  cut();
  draw();
  clear();
  new ResizeObserver(clear).observe(bar);
  addEventListener("load", () => {
    const row = document.querySelector("[aria-current]");
    if (row && !scrollY && !document.URL.includes("#")) row.scrollIntoView({ block: "start" });
  });
  setInterval(draw, 15000);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) draw(); });
})();
