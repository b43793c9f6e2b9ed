// Dragging a task to another nap time. The same is done by its own "Move or share out".

import { ask } from "./live.js";

let dragged = null;

const napOf = (target) => target.closest?.(".nap[data-at]");
const clear = () => document.querySelector(".nap.over")?.classList.remove("over");

document.addEventListener("dragstart", (event) => {
  dragged = event.target.closest?.(".task[draggable]");
  if (!dragged) return;
  event.dataTransfer.effectAllowed = "move";
  event.dataTransfer.setData("text/plain", dragged.querySelector("p").innerText.trim());
});

document.addEventListener("dragover", (event) => {
  const nap = dragged && napOf(event.target);
  clear();
  if (!nap || nap.contains(dragged)) return;
  event.preventDefault();
  nap.classList.add("over");
});

document.addEventListener("dragend", () => {
  clear();
  dragged = null;
});

document.addEventListener("drop", (event) => {
  const nap = dragged && napOf(event.target);
  if (!nap) return;
  event.preventDefault();
  const form = dragged.querySelector("details form");
  const body = new FormData(form);
  body.set("do", "move");
  body.set("to", nap.dataset.at);
  ask(form.action, { method: "POST", body });
  dragged = null;
});
