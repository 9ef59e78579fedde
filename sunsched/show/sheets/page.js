"use strict";
// Marks the line of the day that the device's clock stands in. All times are instants in
// milliseconds, so the device's own zone does not matter.
(() => {
  const { zone, offset_min, moments, end, before, after } = JSON.parse(
    document.getElementById("moments").textContent,
  );
  const box = document.getElementById("present");
  const says = document.getElementById("says");
  const clock = document.getElementById("clock");

  function local(now) {
    try {
      return new Intl.DateTimeFormat("en-GB", {
        timeZone: zone, weekday: "short", day: "numeric", month: "short",
        hour: "2-digit", minute: "2-digit", hourCycle: "h23",
      }).format(now);
    } catch {
      // An old browser may not know the zone's name: then the offset at the call holds.
      return new Date(now + offset_min * 60000).toISOString().slice(0, 16).replace("T", " ");
    }
  }

  function mark() {
    const now = Date.now();
    clock.textContent = local(now);
    const begun = moments.filter((one) => one.from <= now);
    const moment = now < end ? begun[begun.length - 1] : undefined;
    const text = moment ? moment.says : begun.length ? after : before;
    // Said again only when it changes, so that a screen reader stays quiet in between.
    if (says.textContent !== text) says.textContent = text;
    const row = moment ? document.getElementById(moment.row) : null;
    for (const old of document.querySelectorAll("[aria-current]")) {
      if (old !== row) old.removeAttribute("aria-current");
    }
    if (row) {
      row.setAttribute("aria-current", "time");
      says.href = `#${row.id}`;
    } else {
      says.removeAttribute("href");
    }
  }

  box.hidden = false;
  mark();
  setInterval(mark, 30000);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) mark(); });
})();
