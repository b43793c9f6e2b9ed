// The plan without reloading: forms and links by live.js, and on top of them dragging a placement to
// another center or week. Everything that is dragged can also be done in the placement's own panel.

import { ask } from "./live.js";

let dragged = null;

const cellOf = (target) => target.closest?.(".planner td[data-center]:not(.shut)");

document.addEventListener("dragstart", (event) => {
  dragged = event.target.closest?.(".placed[data-row]");
  if (!dragged) return;
  event.dataTransfer.effectAllowed = "move";
  event.dataTransfer.setData("text/plain", dragged.innerText.trim());
});

document.addEventListener("dragover", (event) => {
  const cell = dragged && cellOf(event.target);
  document.querySelector(".plan .over")?.classList.remove("over");
  if (!cell) return;
  event.preventDefault();
  cell.classList.add("over");
});

document.addEventListener("dragend", () => {
  document.querySelector(".plan .over")?.classList.remove("over");
  dragged = null;
});

document.addEventListener("drop", (event) => {
  const cell = dragged && cellOf(event.target);
  if (!cell) return;
  event.preventDefault();
  const planner = cell.closest(".planner");
  const body = new FormData();
  body.set("do", "move");
  body.set("fingerprint", planner.dataset.fingerprint);
  body.set("center", cell.dataset.center);
  body.set("week", cell.dataset.week);
  body.set("from", dragged.dataset.week);
  ask(`${planner.dataset.plan}/placements/${dragged.dataset.row}`, { method: "POST", body });
  dragged = null;
});

/** Brings what the plan did not wait for: findings that take longer to work out. */
async function fill() {
  for (const place of document.querySelectorAll("[data-fill]")) {
    const answer = await fetch(place.dataset.fill);
    if (!answer.ok) continue;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    place.replaceChildren(...document.adoptNode(page.body).childNodes);
    place.removeAttribute("data-fill");
  }
}
fill();
document.addEventListener("lowshelf:shown", fill);

addEventListener("keydown", (event) => {
  if (event.key === "Escape") document.querySelector("#close-panel")?.click();
});
