// Find without reloading: what is typed is asked at once, arrows walk the results, / goes to the box.
// Everything works without this file, by the form and its links.

const box = document.querySelector("#q");
const form = document.querySelector("#ask");
const found = document.querySelector("#found");
const PAUSE_MS = 120;

let waiting = 0;
let asking = new AbortController();

/** The address of the page for what the box says now, keeping the sorting and the room. */
function address() {
  const url = new URL(form.action, location.href);
  for (const [name, value] of new FormData(form)) if (value) url.searchParams.set(name, String(value));
  return url;
}

/** Asks for the results of an address and puts them in place. */
async function show(url, { remember }) {
  asking.abort();
  asking = new AbortController();
  const part = new URL(url);
  part.searchParams.set("part", "found");
  try {
    const answer = await fetch(part, { signal: asking.signal });
    if (answer.redirected) return location.assign(url);
    if (!answer.ok) return;
    const text = await answer.text();
    const open = found.querySelector("details")?.open;
    found.innerHTML = text;
    const details = found.querySelector("details");
    if (details && open) details.open = true;
    if (remember) history.replaceState(null, "", url);
  } catch (error) {
    if (error.name !== "AbortError") form.submit();
  }
}

box.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(() => show(address(), { remember: true }), PAUSE_MS);
});

form.addEventListener("submit", (event) => {
  event.preventDefault();
  clearTimeout(waiting);
  const url = address();
  history.pushState(null, "", url);
  show(url, { remember: false });
});

addEventListener("popstate", () => {
  box.value = new URL(location.href).searchParams.get("q") ?? "";
  show(location.href, { remember: false });
});

addEventListener("keydown", (event) => {
  const typing = event.target.matches("input, textarea, select");
  if (event.key === "/" && !typing) {
    event.preventDefault();
    box.focus();
    box.select();
    return;
  }
  if (event.key !== "ArrowDown" && event.key !== "ArrowUp") return;
  if (typing && event.target !== box) return;
  const links = [...found.querySelectorAll(".results h2 a")];
  if (!links.length) return;
  const at = links.indexOf(document.activeElement);
  const to = event.key === "ArrowDown" ? at + 1 : at - 1;
  if (at < 0 && event.key === "ArrowUp") return;
  event.preventDefault();
  if (to < 0) box.focus();
  else links[Math.min(to, links.length - 1)].focus();
});
