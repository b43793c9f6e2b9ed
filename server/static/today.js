// Keeps the ticks of the day on this tablet and marks the part of the day that runs now.
// Without this file the boxes can be ticked all the same, until the page is left.

const page = document.querySelector(".today");
const name = `lowshelf-today ${page.dataset.day} ${page.dataset.unit}`;

function kept() {
  try {
    return new Set(JSON.parse(localStorage.getItem(name) ?? "[]"));
  } catch {
    return new Set();
  }
}

const ticked = kept();
for (const key of Object.keys(localStorage)) {
  if (key.startsWith("lowshelf-today ") && key !== name) localStorage.removeItem(key);
}
for (const box of page.querySelectorAll("[data-tick]")) box.checked = ticked.has(box.dataset.tick);

page.addEventListener("change", (event) => {
  const tick = event.target.dataset.tick;
  if (!tick) return;
  if (event.target.checked) ticked.add(tick);
  else ticked.delete(tick);
  localStorage.setItem(name, JSON.stringify([...ticked]));
});

function markNow() {
  const now = new Date();
  const date = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0"));
  const isToday = date.join("-") === page.dataset.day;
  const clock = now.toTimeString().slice(0, 5);
  for (const part of page.querySelectorAll("[data-from]")) {
    const runs = isToday && part.dataset.from <= clock && clock < part.dataset.to;
    part.classList.toggle("runs", runs);
    if (runs) part.setAttribute("aria-current", "time");
    else part.removeAttribute("aria-current");
  }
}

markNow();
setInterval(markNow, 30_000);
