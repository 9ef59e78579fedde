// The days of a folder: what each is called, when and where it is, and its newest plan.

import { make, trouble } from "/own/desk.js";

const AT_ONCE = 12;

function told(item, one) {
  const link = item.querySelector("a"), more = item.querySelector(".told");
  if (one.faults) {
    more.textContent = `${one.faults} ${one.faults === 1 ? "fault" : "faults"} in its files: open it to read them`;
    more.classList.add("loses");
    return;
  }
  link.replaceChildren(make("bdi", {}, one.title || one.name));
  const shots = `${one.shots} ${one.shots === 1 ? "shot" : "shots"}`;
  const plan = one.revision === null ? "no plan saved" : `plan ${one.revision}`;
  more.textContent = `${one.weekday} ${one.date}, ${one.place}; ${shots}, ${plan}${one.title === one.name ? "" : `; folder ${one.name}`}`;
}

const items = [...document.querySelectorAll("#days li")];
for (let at = 0; at < items.length; at += AT_ONCE) {
  const some = items.slice(at, at + AT_ONCE);
  try {
    const response = await fetch("/api/days", {
      method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ names: some.map((item) => item.dataset.name) }),
    });
    const { days = [] } = await response.json();
    for (const one of days) {
      const item = some.find((other) => other.dataset.name === one.name);
      if (item) told(item, one);
    }
  } catch {
    trouble("no connection to the desk");
    break;
  }
}
