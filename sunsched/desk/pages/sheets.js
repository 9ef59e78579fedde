import { find, follow } from "/own/desk.js";

follow((day) => {
  const plan = day.plan;
  find("of").textContent = plan ? `of revision ${plan.revision}` : day.plan_fault || "No plan is saved yet: save one on the page of the day.";
  document.querySelector(".choices").hidden = !plan;
});
